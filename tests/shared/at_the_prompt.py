"""The command as a person types it, run in this process: a second less each time than starting another.

That it also runs as a process of its own is held by test_small_commands.py and by the nights.
"""

from __future__ import annotations

import io
import sys
import traceback
from contextlib import redirect_stderr, redirect_stdout
from subprocess import CompletedProcess

from hearthtide.cli.main import run


def typed(*words: object) -> CompletedProcess[str]:
    """What `hearthtide` with these words ends with and prints; what nobody caught is a traceback."""
    command, before = ["hearthtide", *map(str, words)], sys.argv
    out, err, code = io.StringIO(), io.StringIO(), 0
    sys.argv = command
    try:
        with redirect_stdout(out), redirect_stderr(err):
            run()
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else int(ended.code is not None)
    except Exception:
        traceback.print_exc(file=err)
        code = 1
    finally:
        sys.argv = before
    return CompletedProcess(command, code, out.getvalue(), err.getvalue())
