"""While very many records are made, Python does not look for garbage; afterwards it does again."""

from __future__ import annotations

import gc
import threading

import pytest

from shared_models.garbage import making_many


def test_python_looks_again_after_a_failure_too():
    with pytest.raises(ZeroDivisionError), making_many():
        assert not gc.isenabled()
        _ = 1 / 0
    assert gc.isenabled()


def test_one_inside_another_ends_with_the_outer_one():
    with making_many():
        with making_many():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()


def test_the_last_thread_to_leave_lets_python_look_again():
    inside = threading.Event()
    may_leave = threading.Event()

    def stays() -> None:
        with making_many():
            inside.set()
            may_leave.wait(30)

    other = threading.Thread(target=stays)
    other.start()
    inside.wait(30)
    with making_many():
        pass
    assert not gc.isenabled()
    may_leave.set()
    other.join()
    assert gc.isenabled()


def test_a_decorated_function_may_be_called_again_and_again():
    @making_many()
    def looks() -> bool:
        return gc.isenabled()

    assert [looks(), looks(), gc.isenabled()] == [False, False, True]
