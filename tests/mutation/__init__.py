"""Small faults put into the program one at a time, to see whether a test notices.

    python -m tests.mutation.run --seed 1 --count 60 stepcut/quantity.py stepcut/shop

Each fault (a *mutant*) is one change in the syntax tree of one file.  Which tests can notice it is measured, not guessed:
one run of the tests with coverage tells which of them reach the changed statement, and how long each takes, so that the
quickest are asked first.  `equivalents.toml` names the mutants that no test could tell from the program, with the reason;
`results.json` keeps what every seed gave, and RESULTS.md shows it by file.
"""
