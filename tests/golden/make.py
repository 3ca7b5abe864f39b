"""Write the golden cards again, after they have been looked at: python -m tests.golden.make"""

from __future__ import annotations

from tests.golden import HERE, cards, printed

if __name__ == "__main__":
    for left in HERE.glob("*.txt"):
        left.unlink()
    for name in cards():
        (HERE / f"{name}.txt").write_text(printed(name), "utf-8")
