"""What is done once however often its form is sent."""

from __future__ import annotations

import threading

from gyle.web.once import Once, fresh_token


def test_the_same_form_sent_again_does_nothing_more() -> None:
    once, made = Once(), []

    def do() -> str:
        made.append(len(made))
        return f"beer-{len(made)}"

    assert once.done("a", "text", do) == ("beer-1", False)
    assert once.done("a", "text", do) == ("beer-1", True)
    assert once.done("a", "another text", do) == ("beer-2", False)  # nothing written is passed over
    assert once.done("b", "text", do) == ("beer-3", False)
    assert once.done("", "text", do) == ("beer-4", False)
    assert once.done("", "text", do) == ("beer-5", False)


def test_what_failed_is_tried_again() -> None:
    once = Once()

    def fail() -> str:
        raise ValueError

    for _ in range(2):
        try:
            once.done("a", "text", fail)
        except ValueError:
            continue
        raise AssertionError("it was taken as done")
    assert once.done("a", "text", lambda: "beer") == ("beer", False)


def test_two_at_the_same_moment_are_one() -> None:
    once, made, found = Once(), [], []
    begun, go_on = threading.Event(), threading.Event()

    def do() -> str:
        made.append(1)
        begun.set()
        go_on.wait(10)
        return "beer"

    threads = [threading.Thread(target=lambda: found.append(once.done("a", "text", do))) for _ in range(2)]
    threads[0].start()
    assert begun.wait(10)
    threads[1].start()
    go_on.set()
    for thread in threads:
        thread.join()
    assert len(made) == 1
    assert sorted(found) == [("beer", False), ("beer", True)]


def test_only_so_many_are_known_again() -> None:
    once = Once(kept=2)
    for token in "abc":
        once.done(token, "", lambda: "first")
    assert once.done("c", "", lambda: "second") == ("first", True)
    assert once.done("a", "", lambda: "second") == ("second", False)


def test_no_two_forms_carry_the_same() -> None:
    assert len({fresh_token() for _ in range(200)}) == 200
