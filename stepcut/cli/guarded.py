"""A screen whose faults reach the program's own last resort, instead of a page of traceback on the terminal."""

from __future__ import annotations

from textual.app import App


class GuardedApp(App[None]):
    """A textual application that keeps a fault for the caller; use :meth:`run_guarded` to run it."""

    ENABLE_COMMAND_PALETTE = False

    def _fatal_error(self) -> None:
        """End without printing; textual would print a traceback with the values of every variable."""
        self._close_messages_no_wait()

    def run_guarded(self) -> None:
        """Run until it is left; raise what ended it otherwise.

        Raises
        ------
        Exception
            Whatever went wrong inside, a ``StepcutError`` or a fault of the program.
        """
        self.run()
        if self._exception is not None:
            raise self._exception
