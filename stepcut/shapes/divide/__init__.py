"""Dividing: holes, slots, marks and graduations at angles round a part, by rim, plate or direct plate."""
