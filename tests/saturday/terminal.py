"""A person at a real pseudo-terminal: types keys, reads what the program shows, never waits for ever."""

import os
import pty
import select
import signal
import sys
import time

PATIENCE = 30  # seconds for one answer of the program: far more than it takes


class Stuck(AssertionError):
    pass


class Terminal:
    """One command, from its line to its end. `keys` counts what was typed, Enter with it."""

    def __init__(self, arguments, environment, folder):
        self.shown = ""
        self.unread = ""
        self.status = None
        self.pid, self.handle = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            os.execve(arguments[0], arguments, environment)
        self.keys = 0

    def _read(self, until):
        """More of what is shown; False: the program ended."""
        left = until - time.monotonic()
        if left <= 0 or not select.select([self.handle], [], [], left)[0]:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
            raise Stuck(f"nothing came for {PATIENCE} s; so far:\n{self.shown}")
        try:
            data = os.read(self.handle, 65536)
        except OSError:  # Linux: the other end was closed
            data = b""
        text = data.decode("utf-8", "replace").replace("\r\n", "\n")
        self.shown += text
        self.unread += text
        return bool(data)

    def answer(self, question, keys):
        """Waits until `question` is shown, then types `keys` and Enter."""
        until = time.monotonic() + PATIENCE
        while question not in self.unread:
            if not self._read(until):
                raise AssertionError(f"'{question}' was never asked:\n{self.shown}")
        self.unread = self.unread.split(question, 1)[1]
        os.write(self.handle, keys.encode() + b"\n")
        self.keys += len(keys) + 1

    def end(self):
        """Reads to the program's end; its exit status."""
        until = time.monotonic() + PATIENCE
        while self._read(until):
            pass
        os.close(self.handle)
        _, status = os.waitpid(self.pid, 0)
        self.status = os.waitstatus_to_exitcode(status)
        return self.status


if __name__ == "__main__":
    sys.exit("a part of saturday.py")
