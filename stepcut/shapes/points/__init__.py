"""Circles, arcs and tube mitres without a rotary table: points in X and Y, the cutter's radius allowed for."""
