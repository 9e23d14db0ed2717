"""Commands in a process whose file system locks no files."""

import json
import subprocess
import sys
from pathlib import Path

# SQLite's own table of system calls (sqlite3.h, sqlite3_vfs) gets an fcntl that knows no locks; so does ours.
WITHOUT_LOCKS = """
import ctypes, fcntl, json, os, sys
cause, words = int(sys.argv[1]), json.loads(sys.argv[2])
if cause:
    import _sqlite3
    names = "iVersion szOsFile mxPathname".split()
    calls = "pNext zName pAppData xOpen xDelete xAccess xFullPathname xDlOpen xDlError xDlSym xDlClose " \
        "xRandomness xSleep xCurrentTime xGetLastError xCurrentTimeInt64 xSetSystemCall"
    class Vfs(ctypes.Structure):
        _fields_ = [(n, ctypes.c_int) for n in names] + [(n, ctypes.c_void_p) for n in calls.split()]
    library = ctypes.CDLL("libsqlite3.so.0")
    library.sqlite3_initialize()
    library.sqlite3_vfs_find.restype = ctypes.POINTER(Vfs)
    vfs = library.sqlite3_vfs_find(None)
    libc = ctypes.CDLL(None, use_errno=True)
    kind = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_int, ctypes.c_int, ctypes.c_void_p)
    location = libc.__errno_location
    location.restype = ctypes.POINTER(ctypes.c_int)
    real = fcntl.F_GETFD, fcntl.F_SETFD, fcntl.F_GETFL, fcntl.F_SETFL
    def no_locks(handle, command, argument):
        if command in real:
            return libc.fcntl(handle, command, ctypes.c_void_p(argument))
        location()[0] = cause
        return -1
    kept = kind(no_locks)
    setter = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_char_p, kind)(vfs[0].xSetSystemCall)
    assert setter(ctypes.cast(vfs, ctypes.c_void_p), b"fcntl", kept) == 0
    def lockf(*_given):
        raise OSError(cause, os.strerror(cause))
    fcntl.lockf = lockf
    from carelog.store import engine
    engine.PATIENCE_MS = 200
from carelog.main import main
sys.exit(main(words))
"""


def run(cause: int, *words: str) -> tuple[int, str]:
    """A command in a process of its own, whose locks end with this error; its status and its sentence."""
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_LOCKS, str(cause), json.dumps(words)],
        capture_output=True,
        text=True,
        timeout=60,
    )
    return done.returncode, done.stderr


def can_be_told_otherwise() -> bool:
    """Whether the driver uses the system's SQLite, whose calls another library can reach."""
    import _sqlite3

    return sys.platform == "linux" and b"libsqlite3.so.0" in Path(_sqlite3.__file__).read_bytes()
