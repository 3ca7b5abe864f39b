"""A screen whose faults reach the program's own last resort, instead of a page of traceback on the terminal."""

from __future__ import annotations

from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType


class GuardedApp(App[None]):
    """A textual application that keeps a fault for the caller; use :meth:`run_guarded` to run it."""

    ENABLE_COMMAND_PALETTE = False
    # Textual answers Ctrl-C by naming another key; here it stops, as everywhere else.
    BINDINGS: ClassVar[list[BindingType]] = [Binding("ctrl+c", "stop", show=False, priority=True)]
    stopped = False

    def action_stop(self) -> None:
        """End as a command does that is stopped; what was ticked is kept."""
        self.stopped = True
        self.exit()

    def _fatal_error(self) -> None:
        """End without printing; textual would print a traceback with the values of every variable."""
        self._close_messages_no_wait()

    def run_guarded(self) -> None:
        """Run until it is left; raise what ended it otherwise.

        Raises
        ------
        Exception
            Whatever went wrong inside, a ``StepcutError`` or a fault of the program.
        KeyboardInterrupt
            When Ctrl-C ended it.
        """
        self.run()
        if self.stopped:
            raise KeyboardInterrupt
        if self._exception is not None:
            raise self._exception
