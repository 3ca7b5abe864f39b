"""How the program ends: what each trouble prints, and the exit status that belongs to it.

0 done, 1 the plan would spoil the part and nothing else, 2 bad input or an answer that is no, 3 a file or an output could not
be read or written, 4 a fault of the program itself, 130 stopped by the user.  A reader that goes away early, as ``head`` does, is
no trouble.
"""

from __future__ import annotations

import contextlib
import errno
import os
import signal
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from typer.exceptions import Abort, TyperException

from stepcut import gate
from stepcut.errors import StepcutError

DONE, SPOILS, BAD_INPUT, FILE, FAULT, STOPPED = 0, 1, 2, 3, 4, 130


def ended(body: Callable[[], object], arguments: Sequence[str], commands: Sequence[str], last: bool = False) -> int:
    """Run a command line and return its exit status; whatever goes wrong is said on standard error.

    Parameters
    ----------
    body : callable
        Does the work; a whole number that it returns is the exit status.
    arguments, commands
        What was typed, and the commands that there are, for the messages.
    last : bool
        Whether the process ends after it.  If not, Ctrl-C means afterwards what it meant before.
    """
    with contextlib.nullcontext() if last else _ctrl_c_kept():
        status = _status(body, arguments, commands)
        past_stopping()
        if last:  # Python puts its own handlers away while it ends, and only what is ignored stays so
            with contextlib.suppress(ValueError):
                signal.signal(signal.SIGINT, signal.SIG_IGN)
        return status


def past_stopping() -> None:
    """Let Ctrl-C stop nothing until the program ends; call it just before what cannot be undone, as the last file.

    A stop that came too late would otherwise be called one.  A program that is started later is not affected, and other
    threads than the main one, which no Ctrl-C reaches, change nothing.
    """
    with contextlib.suppress(ValueError):  # not the main thread
        signal.signal(signal.SIGINT, lambda *_: None)


@contextlib.contextmanager
def _ctrl_c_kept() -> Iterator[None]:
    """Put back what Ctrl-C meant; where something else than Python has taken it, that stays."""
    meant = signal.getsignal(signal.SIGINT)
    try:
        yield
    finally:
        with contextlib.suppress(ValueError):
            if meant is not None:
                signal.signal(signal.SIGINT, meant)


def _status(body: Callable[[], object], arguments: Sequence[str], commands: Sequence[str]) -> int:
    """Do the work, say what went wrong, return the exit status."""
    try:
        mend_streams()
        _refuse_bytes(arguments)
        result = body()
        past_stopping()
        if sys.stdout is not None:
            sys.stdout.flush()
    except StepcutError as trouble:
        return _said(str(trouble), trouble.exit_status)
    except TyperException as trouble:
        from stepcut.cli.usage import said

        return _said(said(trouble, arguments, commands), BAD_INPUT)
    except (Abort, KeyboardInterrupt):
        return _stopped()
    except SystemExit:  # typer's own way to end when the reader of a pipe has gone
        return _said_of_output(BrokenPipeError())
    except OSError as trouble:
        return _said_of_output(trouble) if trouble.filename is None else _said_of_file(trouble)
    except Exception as fault:  # noqa: BLE001  # the last resort: whatever it is, nobody is shown a traceback
        return _stopped() if _of_ctrl_c(fault) else _said(_reported(fault, arguments), FAULT)
    if result == STOPPED:  # typer's own way to hand Ctrl-C on
        return _stopped()
    return result if isinstance(result, int) else DONE


# --- what is said ---------------------------------------------------------------------------------------------------


def complain(message: str) -> None:
    """Print a message on standard error, where that is still possible."""
    from stepcut.cards.terminal import plain

    with contextlib.suppress(OSError, ValueError, AttributeError):
        print(plain(message, getattr(sys.stderr, "encoding", None)), file=sys.stderr, flush=True)


def _said(message: str, status: int) -> int:
    past_stopping()  # one message says how it ended
    with contextlib.suppress(OSError, ValueError):
        sys.stdout.flush()
    complain(message)
    return status


def _stopped() -> int:
    """Say it without loading anything: what was being loaded when Ctrl-C came is not to be loaded a second time."""
    past_stopping()
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stdout.flush()
    with contextlib.suppress(OSError, ValueError, AttributeError):
        print("Stopped.", file=sys.stderr, flush=True)
    return STOPPED


def _of_ctrl_c(fault: BaseException | None) -> bool:
    """Whether a fault is only what became of a Ctrl-C, which Python wraps in another one in some places."""
    while fault is not None:
        if isinstance(fault, KeyboardInterrupt):
            return True
        fault = fault.__cause__ or fault.__context__
    return False


def _said_of_file(trouble: OSError) -> int:
    name = gate.line(os.fsdecode(trouble.filename)) if not isinstance(trouble.filename, int) else "file"
    reason = (trouble.strerror or str(trouble)).lower()
    return _said(f"{name}: {reason}. Check the name, the folder and the space left.", FILE)


def _said_of_output(trouble: OSError) -> int:
    """Say that standard output failed; a reader that has gone is no trouble, and nothing more goes there."""
    _give_up_output()
    if isinstance(trouble, BrokenPipeError) or trouble.errno == errno.EPIPE:
        return DONE
    reason = "is closed" if trouble.errno == errno.EBADF else (trouble.strerror or str(trouble)).lower()
    return _said(f"standard output: {reason}. What was printed may not be whole; see that it can be written.", FILE)


def _give_up_output() -> None:
    """Point standard output at nothing, so that Python does not try to write its rest once more while it ends."""
    with contextlib.suppress(OSError, ValueError):
        nothing = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nothing, 1)
        os.close(nothing)


# --- a fault of the program -----------------------------------------------------------------------------------------


def _reported(fault: Exception, arguments: Sequence[str]) -> str:
    """Write the report of a fault and return what to say of it."""
    import platform
    import traceback

    from stepcut import __version__

    what = gate.line(f"{type(fault).__name__}: {fault}")[:200]
    trace = "".join(traceback.format_exception(fault))
    report = (
        f"stepcut {__version__}, Python {platform.python_version()}, {platform.platform()}\n"
        f"{time.strftime('%Y-%m-%dT%H:%M:%S%z')}\n\n"
        f"What was typed:\n{gate.line(repr(list(arguments)))}\n\n{gate.lines(trace)}"
    )
    lines = [f"This is a fault of stepcut itself ({what}). Files that stood, and what was ticked, are as they were."]
    path = _kept(report)
    if path is None:
        lines += ["The report could not be written to a file; it follows.", report]
    else:
        lines.append(f"The report is in {gate.line(str(path))}; it holds what you typed. Send it to the makers.")
    return "\n".join(lines)


def _kept(report: str) -> Path | None:
    """Write a report into a file of its own in the user's data folder, or in the folder for temporary files."""
    import tempfile

    from stepcut.errors import FileTrouble
    from stepcut.folders import data_folder

    name = f"fault-{time.strftime('%Y%m%d-%H%M%S')}-{os.getpid()}.txt"
    places: list[Path] = []
    with contextlib.suppress(FileTrouble):
        places.append(data_folder() / "faults")
    places.append(Path(tempfile.gettempdir()))
    for folder in places:
        with contextlib.suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True)
            path = folder / name
            with path.open("x", encoding="utf-8", errors="backslashreplace") as file:
                file.write(report)
            return path
    return None


# --- streams and arguments ------------------------------------------------------------------------------------------


def mend_streams() -> None:
    """Give the program its three streams when it was started without some, and have none of them fail on odd bytes.

    A missing stream's number would go to the next file that is opened, the log for instance, and a message printed there
    would be written into it.  Standard output is put in its place such that writing to it fails, and is said.
    """
    for number, name, flags in ((0, "stdin", os.O_RDONLY), (1, "stdout", os.O_RDONLY), (2, "stderr", os.O_WRONLY)):
        if getattr(sys, name) is not None:
            continue
        with contextlib.suppress(OSError):
            handle = os.open(os.devnull, flags)
            if handle != number:
                os.dup2(handle, number)
                os.close(handle)
            mode = "r" if number == 0 else "w"
            setattr(sys, name, os.fdopen(number, mode, encoding="utf-8", errors="backslashreplace", closefd=False))
    for stream in (sys.stdin, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)  # a stand-in of a test or a notebook has none
        if reconfigure is not None:
            with contextlib.suppress(OSError, ValueError):
                reconfigure(errors="backslashreplace")


def _refuse_bytes(arguments: Sequence[str]) -> None:
    """Refuse an argument that is no text in the system's encoding: it could be neither printed nor saved as it is."""
    from stepcut.errors import BadValue

    for argument in arguments:
        if any("\ud800" <= character <= "\udfff" for character in argument):
            shown = argument.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")
            raise BadValue("argument", shown, "is not UTF-8 text", "Type it anew, or give the file another name.")
        if "\0" in argument:
            raise BadValue("argument", argument, "holds a null character", "Type it anew.")
