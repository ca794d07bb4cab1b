"""Who is let in: codes, PINs, tokens; wrong guesses wait longer and longer."""

import hashlib
from concurrent.futures import ThreadPoolExecutor
from itertools import count

import pytest

from hearthtide.board.access import (
    CODE_S,
    MOST_WAIT_S,
    SESSION_S,
    Access,
    NotAllowed,
    NotLetIn,
    Pass,
    pin_fits,
    pin_kept,
)
from hearthtide.errors import InputError
from hearthtide.store.database import open_database


class Front:
    """A door with a clock set by hand."""

    def __init__(self, database):
        self.now_s = 1e9
        tokens, codes = count(1), count(12345678)
        self.door = database.door()
        self.access = Access(
            self.door, lambda: self.now_s, lambda: f"token-{next(tokens)}", lambda: str(next(codes))
        )
        self.access.person(None, "Ana", "chef", "2580")
        self.device = self.access.enrolled(self.access.first_code(), "tablet at the mouth")

    def who(self, token):
        return self.access.who(token)

    def session(self, name="Ana", pin="2580"):
        return self.access.logged_in(self.device, name, pin)


@pytest.fixture
def front(tmp_path):
    with open_database(tmp_path / "nights.db") as database:
        yield Front(database)


def test_scrypt_is_the_one_of_the_standard():
    """RFC 7914, section 12, third test vector: what the PINs rest on is scrypt as published."""
    told = hashlib.scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=16384, r=8, p=1, maxmem=2**26, dklen=64)
    assert told.hex().startswith("7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2")


def test_a_pin_is_kept_so_that_it_cannot_be_read(front):
    kept = pin_kept("2580", "salt")
    assert pin_fits("2580", kept) and not pin_fits("2581", kept)
    assert "2580" not in kept and kept != pin_kept("2580", "other salt")
    assert all("2580" not in part for row in front.door.people() for part in row)


def test_a_session_is_of_a_person_on_an_enrolled_device_and_ends(front):
    token = front.session()
    assert front.who(token) == Pass("session", "Ana", "chef")
    assert front.who("token-999") is None
    front.now_s += SESSION_S + 1
    assert front.who(token) is None
    again = front.session()
    front.access.left(again)
    assert front.who(again) is None
    with pytest.raises(NotLetIn, match="not enrolled"):
        front.access.logged_in(front.session(), "Ana", "2580")


def test_tokens_are_kept_as_their_hash_alone(front):
    token = front.session()
    assert front.door.given(token) is None
    assert front.door.given(hashlib.sha256(token.encode()).hexdigest())[:3] == ("session", "Ana", "chef")


def test_a_code_enrols_one_device_within_five_minutes(front):
    assert front.access.first_code() is None
    code = front.access.new_code()
    front.access.enrolled(code, "wall")
    with pytest.raises(NotLetIn, match="enrols nothing"):
        front.access.enrolled(code, "other")
    late = front.access.new_code()
    front.now_s += CODE_S + 1
    with pytest.raises(NotLetIn, match="enrols nothing"):
        front.access.enrolled(late, "other")


def test_wrong_guesses_are_slowed_and_a_right_one_while_waiting_does_not_count(front):
    for _ in range(5):
        with pytest.raises(NotLetIn, match="do not fit"):
            front.session(pin="1111")
    with pytest.raises(NotLetIn, match=r"wrong 5 times\. Wait") as wait:
        front.session()
    assert 0 < wait.value.wait_s <= 2
    front.now_s += 2.1
    assert front.session()


def test_many_guesses_at_once_are_not_all_free(front):
    """Twenty wrong PINs in the same instant: five are looked at, the others wait."""

    def guess(n):
        try:
            front.session(pin=f"{1000 + n}")
        except NotLetIn as no:
            return no.wait_s > 0

    with ThreadPoolExecutor(20) as pool:
        waits = list(pool.map(guess, range(20)))
    assert waits.count(False) == 5 and waits.count(True) == 15


def test_a_day_of_guessing_tries_few_pins(front):
    """A robot that asks as soon as it may: fewer than 300 of 10,000 PINs in a day."""
    guesses, end_s = 0, front.now_s + 86400
    slowed = front.access._slowed
    while front.now_s < end_s:
        try:
            slowed.guess("tablet/Ana")
        except NotLetIn as wait:
            assert wait.wait_s <= MOST_WAIT_S
            front.now_s += wait.wait_s + 1e-6
            continue
        guesses += 1
    assert 86400 / MOST_WAIT_S <= guesses < 300


def test_enrolling_is_slowed_too(front):
    code = front.access.new_code()
    for _ in range(5):
        with pytest.raises(NotLetIn):
            front.access.enrolled("00000000", "thief")
    with pytest.raises(NotLetIn, match="Wait"):
        front.access.enrolled(code, "tablet")


def test_a_name_nobody_has_sounds_like_a_wrong_pin(front):
    with pytest.raises(NotLetIn) as unknown:
        front.session("Nobody")
    with pytest.raises(NotLetIn) as wrong:
        front.session("Ana", "9999999")
    assert unknown.value.words == wrong.value.words


def test_only_chef_and_owner_write_people_down_and_make_feeds(front):
    chef = front.who(front.session())
    front.access.person(chef, "Ben", "cook", "1470")
    front.access.person(chef, "Iva", "inspector", "9630")
    ben = front.who(front.session("Ben", "1470"))
    iva = front.who(front.session("Iva", "9630"))
    assert (ben.tells, ben.manages, iva.tells) == (True, False, False)
    for by in (ben, iva, front.who(front.device), None):
        with pytest.raises(NotAllowed):
            front.access.person(by, "Eve", "owner", "1234")
    with pytest.raises(NotAllowed):
        front.access.feed(ben, "till")
    assert front.who(front.access.feed(chef, "till")) == Pass("feed", "till", "")
    assert front.access.names() == (("Ana", "chef"), ("Ben", "cook"), ("Iva", "inspector"))


def test_a_device_put_out_takes_its_sessions_with_it_and_no_others(front):
    chef_token = front.session()
    wall = front.access.enrolled(front.access.new_code(), "wall")
    there = front.access.logged_in(wall, "Ana", "2580")
    chef = front.who(chef_token)
    assert front.access.let_in(chef, "device") == ("tablet at the mouth", "wall")
    front.access.put_out(chef, "device", "wall")
    assert front.who(wall) is None and front.who(there) is None
    assert front.who(chef_token) == chef
    with pytest.raises(InputError, match="tablet at the mouth"):
        front.access.put_out(chef, "device", "tablet at the mout")
    with pytest.raises(NotAllowed):
        front.access.put_out(front.who(front.device), "device", "tablet at the mouth")


def test_a_new_pin_or_role_ends_the_sessions_of_that_person(front):
    chef = front.who(front.session())
    front.access.person(chef, "Ben", "owner", "1470")
    ben = front.session("Ben", "1470")
    front.access.person(chef, "Ben", "inspector", "1470")
    assert front.who(ben) is None
    assert front.who(front.session("Ben", "1470")).role == "inspector"


@pytest.mark.parametrize("pin", ["123", "1" * 4, "12a4", "1" * 13, "", "１２３４"])
def test_a_pin_is_four_to_twelve_digits(front, pin):
    with pytest.raises(InputError, match="4 to 12 digits"):
        front.access.person(front.who(front.session()), "Ben", "cook", pin)
