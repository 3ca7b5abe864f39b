"""What was done at the machine: jobs, ticks, notes, readings and blue checks, in one SQLite file.

``store`` keeps them; ``history`` draws conclusions from them.  A tick is on disk before anything shows it.
"""
