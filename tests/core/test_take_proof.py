"""What proves each take, what is missing, and that the one action named is a help and leads to the end."""

from __future__ import annotations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stock.core.take_proof import Action, TakeProof, take_proofs
from stock.store.store import Store

from .builder import AS_OF, HASH, Chain, Studio

DAY_BEFORE = "2026-05-31T10:00:00Z"


def proof_of(studio: Studio, day: str = AS_OF) -> TakeProof:
    (found,) = take_proofs(studio.answer("R1", day))
    return found


def missing(studio: Studio) -> set[str]:
    return {code for code, _ in proof_of(studio).missing}


def test_a_proved_take_names_what_proves_it(empty: Store) -> None:
    studio = Studio(empty)
    studio.proved_take()
    found = proof_of(studio)
    assert (found.label, found.state, found.missing, found.action) == ("take river/1", "proved", (), None)
    (transfer,) = found.transfers
    assert transfer.proof.proved
    assert [(each.copy.copy, each.copy.place, each.fault) for each in transfer.copies] == [
        ("c1", "here", None),
        ("c2", "elsewhere", None),
    ]
    assert {each.read_day for each in transfer.copies} == {studio.as_of("2026-01-10").day}


def test_a_take_decided_to_go_needs_nothing(empty: Store) -> None:
    studio = Studio(empty)
    studio.take(keep="discard")
    found = proof_of(studio)
    assert (found.state, found.transfers, found.action) == ("given up", (), None)


def test_a_take_half_transferred_and_given_up_is_not_proved(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.take["keep"] = "discard"
    assert proof_of(studio).state == "proved"
    chain.transfer["end"] = "150 ft"
    assert proof_of(studio).state == "given up"


def test_what_no_transfer_covers_is_to_be_transferred(empty: Store) -> None:
    studio = Studio(empty)
    studio.take()
    found = proof_of(studio)
    assert found.missing == (("not-transferred", "never transferred since it was recorded"),)
    assert found.action == Action("transfer", "transfer take river/1")


def test_a_missing_part_and_missing_tracks_are_named(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.transfer["end"] = "150 ft"
    assert missing(studio) == {"partly-transferred"}
    chain.transfer["end"], chain.transfer["tracks"] = "2500 ft", "1-3"
    assert missing(studio) == {"tracks-missing"}
    action = proof_of(studio).action
    assert action is not None
    assert action.says == "transfer what is missing of take river/1"


def test_a_copy_at_hand_is_read_before_another_is_made(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.checks[1]["date"] = "2025-01-10"
    assert missing(studio) == {"too-few-copies", "one-medium", "none-elsewhere", "copy-unchecked"}
    action = proof_of(studio).action
    assert action is not None
    assert (action.code, action.transfer, action.copy) == ("read", "T1", "c2")
    assert set(action.mends) == {"too-few-copies", "one-medium", "none-elsewhere"}


def test_what_mends_most_comes_first(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    studio.rows["listens"].clear()
    action = proof_of(studio).action
    assert action is not None
    assert action.says == "listen to T1 at head, middle and end of every track, and enter it"
    # one copy alone lacks three things, a listen is one
    studio.rows["copies"].remove(chain.copies[1])
    studio.rows["copy_checks"].remove(chain.checks[1])
    action = proof_of(studio).action
    assert action is not None
    assert action.says == "make another copy of T1 on another medium elsewhere, and prove it"


def test_a_copy_that_failed_is_made_again(empty: Store) -> None:
    studio = Studio(empty)
    studio.proved_take()
    studio.check("c2", DAY_BEFORE, result="fail")
    action = proof_of(studio).action
    assert action is not None
    assert action.says == "make copy c2 of T1 on drive blue again, and prove it"


def test_no_copy_mends_a_format_too_low(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.transfer["bit_depth"] = "16"
    action = proof_of(studio).action
    assert action is not None
    assert action.says == "transfer again what is in T1, at the house's format"


def test_when_only_time_is_missing_it_says_until_when(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    chain.transfer["date"], chain.listen["date"] = "2026-05-25T10:00:00Z", "2026-05-26"
    for check in chain.checks:
        check["date"] = DAY_BEFORE
    action = proof_of(studio).action
    assert action is not None
    assert action.says == "wait until 2026-06-08: a transfer is to be 14 days old"
    assert proof_of(studio, "2026-06-07").state == "unproved"
    assert proof_of(studio, "2026-06-08").state == "proved"


def test_of_two_transfers_the_nearer_one_is_worked_on(empty: Store) -> None:
    studio = Studio(empty)
    chain = studio.proved_take()
    studio.rows["listens"].clear()
    studio.transfer("2025-09-01T10:00:00Z", "T2")
    action = proof_of(studio).action
    assert action is not None
    assert (action.code, action.transfer) == ("listen", "T1")
    chain.transfer["sample_rate_hz"] = "44100"
    action = proof_of(studio).action
    assert action is not None
    assert (action.code, action.transfer) == ("copy", "T2")


def follow(studio: Studio, chain: Chain, action: Action, number: int) -> None:
    """Do what an action says."""
    name = action.transfer or "T1"
    if action.code == "transfer":
        studio.rows["transfers"].remove(chain.transfer)
        chain.transfer.update(studio.transfer())
    elif action.code == "listen":
        studio.listen(name)
    elif action.code == "read":
        studio.check(str(action.copy), DAY_BEFORE)
    elif action.code == "copy":
        copy = action.copy or f"new{number}"
        if action.copy is None:
            studio.copy(copy, f"medium {number}", "elsewhere", name)
        studio.check(copy, "2026-05-31T11:00:00Z", name, manifest_sha256=HASH)


CHECKS = st.sampled_from(["", "pass", "fail", "stated", "old"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    checks=st.lists(CHECKS, min_size=0, max_size=4),
    places=st.lists(st.sampled_from(["here", "elsewhere"]), min_size=4, max_size=4),
    media=st.lists(st.sampled_from(["red", "blue"]), min_size=4, max_size=4),
    is_heard=st.booleans(),
    is_high=st.booleans(),
    needed=st.integers(1, 4),
)
def test_following_the_actions_proves_the_take(
    empty: Store, checks: list[str], places: list[str], media: list[str], is_heard: bool, is_high: bool, needed: int
) -> None:
    studio = Studio(empty)
    take = studio.take()
    studio.add("rules", rule="copies_needed", value=str(needed), date="2025-01-01", by="Ada Quill")
    chain = Chain(take, studio.transfer(), {}, ({}, {}), ({}, {}))
    chain.transfer["bit_depth"] = "24" if is_high else "16"
    if is_heard:
        studio.listen()
    for number, how in enumerate(checks):
        studio.copy(f"c{number}", media[number], places[number])
        if how in ("pass", "fail"):
            studio.check(f"c{number}", result=how)
        elif how == "stated":
            studio.check(f"c{number}", method="stated", manifest_sha256="")
        elif how == "old":
            studio.check(f"c{number}", "2025-01-10" if number % 2 else "2025-08-01T10:00:00Z", result="pass")
    for number in range(12):
        found = proof_of(studio)
        if found.state == "proved":
            assert found.action is None
            return
        action = found.action
        assert action is not None
        assert action.code != "wait", "this transfer is old enough"
        follow(studio, chain, action, number)
        after = proof_of(studio)
        assert set(action.mends).isdisjoint(code for code, _ in after.missing)
        assert action.code == "transfer" or action.gains > 0
    raise AssertionError("the actions go on and on")
