"""Who may come in: devices enrolled by a code, people by a PIN, feeds by a token; guessing is slowed.

A device is enrolled with a code shown on an enrolled one (the first by the program's own screen). On it a
person opens a session with a name and a PIN. What they tell bears their name. Tokens are 256 random bits and
are kept as their hash alone, PINs as scrypt makes them.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Callable
from dataclasses import dataclass
from threading import Lock
from typing import Literal, Protocol, get_args

from hearthtide.errors import Finding, HearthtideError, InputError
from hearthtide.house.validate import close_to
from hearthtide.quantities.show import duration_text

Role = Literal["cook", "pass", "chef", "owner", "inspector"]
PassKind = Literal["device", "session", "feed"]
PASS_KINDS: tuple[PassKind, ...] = get_args(PassKind)
TELLS: frozenset[str] = frozenset({"cook", "pass", "chef", "owner"})  # an inspector reads only
MANAGES: frozenset[str] = frozenset({"chef", "owner"})  # who enrols devices and writes people down

# OWASP's password storage cheat sheet, the setting with 16 MB (from memory, not re-read): some 0.2 s a guess.
SCRYPT_N, SCRYPT_R, SCRYPT_P = 2**14, 8, 5
CODE_S = 300.0  # a device is enrolled within five minutes of its code; own choice
SESSION_S = 14 * 3600.0  # a long night; own choice
DEVICE_S = 400 * 86400.0  # enrolled anew once a year or so; own choice
FREE, FIRST_WAIT_S, MOST_WAIT_S = 5, 2.0, 300.0  # guesses without a wait, then doubling; own choice


class NotLetIn(HearthtideError):
    """Somebody may not come in, or may not do that; `wait_s` is above 0 when they guessed too often."""

    def __init__(self, words: str, wait_s: float = 0.0) -> None:
        self.words, self.wait_s = words, wait_s
        super().__init__(words)


class NotAllowed(HearthtideError):
    """Somebody who is let in may not do that."""


@dataclass(frozen=True)
class Pass:
    """Whose token it is and what it is for; a device's role is empty."""

    kind: PassKind
    name: str
    role: str

    @property
    def tells(self) -> bool:
        return self.kind == "session" and self.role in TELLS

    @property
    def manages(self) -> bool:
        return self.kind == "session" and self.role in MANAGES


class Door(Protocol):
    """Where people and passes are kept."""

    def people(self) -> tuple[tuple[str, str, str], ...]: ...
    def put_person(self, name: str, role: str, pin: str) -> None: ...
    def give(self, hash: str, kind: str, name: str, role: str, device: str, until_s: float) -> None: ...
    def given(self, hash: str) -> tuple[str, str, str, float] | None: ...
    def take_back(self, hash: str) -> None: ...
    def take_back_all(self, kind: str, name: str) -> int: ...
    def names(self, kind: str) -> tuple[str, ...]: ...
    def any_device(self) -> bool: ...


class Slowed:
    """Guesses by who makes them: some are free, then each wait is twice the one before."""

    def __init__(self, clock: Callable[[], float]) -> None:
        self._clock = clock
        self._missed: dict[str, tuple[int, float]] = {}
        self._lock = Lock()

    def guess(self, who: str) -> None:
        """Counts a guess as wrong until it is told right; raises NotLetIn while `who` has to wait.

        Counted before it is looked at, so that many at once are not all free.
        """
        with self._lock:
            missed, until_s = self._missed.get(who, (0, 0.0))
            wait_s = until_s - self._clock()
            if wait_s > 0:
                words = f"that was wrong {missed} times. Wait {duration_text(wait_s + 0.5)}, then try again."
                raise NotLetIn(words, wait_s)
            doublings = missed + 1 - FREE
            next_s = 0.0 if doublings < 0 else min(MOST_WAIT_S, FIRST_WAIT_S * 2.0 ** min(doublings, 20))
            self._missed[who] = (missed + 1, self._clock() + next_s)

    def right(self, who: str) -> None:
        """The guesses of `who` are forgotten."""
        with self._lock:
            self._missed.pop(who, None)


class Access:
    """The door of one house's board.

    `clock` gives seconds that go on over restarts, `token` 256 random bits as text, `code` eight digits.
    """

    def __init__(
        self, door: Door, clock: Callable[[], float], token: Callable[[], str], code: Callable[[], str]
    ) -> None:
        self._door, self._clock, self._token, self._code = door, clock, token, code
        self._slowed = Slowed(clock)
        self._codes: dict[str, float] = {}

    def first_code(self) -> str | None:
        """A code for the very first device, told by the program's own screen; None once one is enrolled."""
        return None if self._door.any_device() else self.new_code()

    def new_code(self) -> str:
        """A code that enrols one device within five minutes; it replaces the one before."""
        code = self._code()
        self._codes = {_hash(code): self._clock() + CODE_S}
        return code

    def enrolled(self, code: str, device: str) -> str:
        """The token of a device that shows a good code. Raises NotLetIn."""
        self._slowed.guess("enrolling")
        until_s = self._codes.get(_hash(code))
        if until_s is None or until_s < self._clock():
            raise NotLetIn("that code enrols nothing. Have an enrolled device show a new one.")
        self._codes = {}
        self._slowed.right("enrolling")
        return self._given("device", device, "", DEVICE_S)

    def logged_in(self, device_token: str, name: str, pin: str) -> str:
        """The token of a session of that person, on an enrolled device. Raises NotLetIn."""
        device = self.who(device_token)
        if device is None or device.kind != "device":
            raise NotLetIn("this device is not enrolled. Enrol it with a code from one that is.")
        known = {person: (role, kept) for person, role, kept in self._door.people()}
        who = f"{device.name}/{name if name in known else ''}"
        self._slowed.guess(who)
        role, kept = known.get(name, ("", _NOBODY))
        if not pin_fits(pin, kept) or name not in known:
            raise NotLetIn("name and PIN do not fit. Try again, or have the chef write a new PIN down.")
        self._slowed.right(who)
        return self._given("session", name, role, SESSION_S, device_token)

    def stands_by(self, by: Pass, name: str, pin: str) -> str:
        """The name of a second person who gives their own PIN on somebody's session. Raises NotLetIn."""
        known = {person: (role, kept) for person, role, kept in self._door.people()}
        self._slowed.guess(f"{by.name}/{name if name in known else ''}")
        role, kept = known.get(name, ("", _NOBODY))
        if not pin_fits(pin, kept) or role not in TELLS or name == by.name:
            raise NotAllowed("name and PIN of the second person do not fit. It is another person's to say.")
        self._slowed.right(f"{by.name}/{name}")
        return name

    def feed(self, by: Pass, name: str) -> str:
        """A token for a till or an ordering system that calls tickets under that name. Raises NotAllowed."""
        self._managed(by)
        return self._given("feed", name, "", DEVICE_S)

    def person(self, by: Pass | None, name: str, role: Role, pin: str) -> None:
        """Writes somebody down with a PIN; without `by` only the first. Raises NotAllowed, InputError."""
        if by is not None or self._door.people():
            self._managed(by)
        if role not in get_args(Role):
            raise _wrong("role", role, f"one of {', '.join(get_args(Role))}")
        if not (4 <= len(pin) <= 12 and pin.isdecimal() and pin.isascii()) or len(set(pin)) == 1:
            raise _wrong("pin", "", "4 to 12 digits that are not all the same")
        self._door.put_person(name, role, pin_kept(pin, self._token()))

    def names(self) -> tuple[tuple[str, str], ...]:
        """Everybody's name and role."""
        return tuple((name, role) for name, role, _ in self._door.people())

    def who(self, token: str) -> Pass | None:
        """Whose token it is; None for one that is not good, or no longer."""
        found = self._door.given(_hash(token))
        if found is None or found[3] < self._clock():
            return None
        kind, name, role, _ = found
        known = next((one for one in PASS_KINDS if one == kind), None)
        return None if known is None else Pass(known, name, role)

    def put_out(self, by: Pass, kind: Literal["device", "feed"], name: str) -> None:
        """Ends a device's right, with every session on it, or a feed's. Raises NotAllowed, InputError."""
        self._managed(by)
        if not self._door.take_back_all(kind, name):
            raise _wrong(kind, name, f"one that is let in; {close_to(name, self._door.names(kind))}")

    def let_in(self, by: Pass, kind: Literal["device", "feed"]) -> tuple[str, ...]:
        """The names of all devices or feeds that are let in. Raises NotAllowed."""
        self._managed(by)
        return self._door.names(kind)

    def left(self, token: str) -> None:
        """Ends a session, or a device's or a feed's right."""
        self._door.take_back(_hash(token))

    def _managed(self, by: Pass | None) -> None:
        if by is None or not by.manages:
            raise NotAllowed("that is the chef's or the owner's to do. Ask one of them.")

    def _given(self, kind: PassKind, name: str, role: str, for_s: float, device_token: str = "") -> str:
        token, device = self._token(), _hash(device_token) if device_token else ""
        self._door.give(_hash(token), kind, name, role, device, self._clock() + for_s)
        return token


def _wrong(field: str, value: str, expected: str) -> InputError:
    return InputError((Finding("people", 0, field, value, expected, "Choose another."),))


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def pin_kept(pin: str, salt: str) -> str:
    """A PIN as it is kept: its scrypt settings, salt and hash."""
    salt = hashlib.sha256(salt.encode()).hexdigest()[:32]
    return (
        f"scrypt:{SCRYPT_N}:{SCRYPT_R}:{SCRYPT_P}:{salt}:{_scrypt(pin, SCRYPT_N, SCRYPT_R, SCRYPT_P, salt)}"
    )


def pin_fits(pin: str, kept: str) -> bool:
    """Whether a PIN is the one that was kept; takes as long when it is not."""
    _, n, r, p, salt, hashed = kept.split(":")
    return hmac.compare_digest(_scrypt(pin, int(n), int(r), int(p), salt), hashed)


def _scrypt(pin: str, n: int, r: int, p: int, salt: str) -> str:
    return hashlib.scrypt(pin.encode(), salt=bytes.fromhex(salt), n=n, r=r, p=p, maxmem=2**26).hex()


# For a name that nobody has: the same work, and never right.
_NOBODY = f"scrypt:{SCRYPT_N}:{SCRYPT_R}:{SCRYPT_P}:{'00' * 16}:nothing"
