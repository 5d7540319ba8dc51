"""A frozen value against the library's own dataclass, which is what it stands for."""

import copy
import dataclasses
import pickle
from dataclasses import field, replace

import pytest

from platewright.values import KeepsHash, dataclass


def classes(build):
    """The same classes, of ours and of the library's making."""

    @build(frozen=True, slots=True)
    class Pair:
        first: int
        second: tuple = ()
        note: str = field(default="", compare=False, repr=False)
        made: list = field(default_factory=list, compare=False)

        def __post_init__(self):
            if self.first < 0:
                raise ValueError("first")

    @build(frozen=True, kw_only=True)
    class Named(Pair):
        third: float
        fixed: int = field(default=7, init=False)

    @build(frozen=True, slots=True, eq=False)
    class Alone:
        """Compared by itself."""

        x: float

    return Pair, Named, Alone


OURS, THEIRS = classes(dataclass), classes(dataclasses.dataclass)


@dataclass(frozen=True, slots=True)
class Kept:
    """At module level, so that it can be pickled."""

    a: int
    b: str = "b"


@dataclass(frozen=True, slots=True)
class Heavy(KeepsHash):
    """Asked for its hash once of what it holds."""

    held: object
    note: str = field(default="", compare=False)


@pytest.mark.parametrize(("pair", "named", "alone"), [OURS, THEIRS])
def test_values_are_made_compared_and_told_alike(pair, named, alone):
    assert pair(1) == pair(first=1, note="other")
    assert pair(1) != pair(2)
    assert pair(1) != named(first=1, third=2.0)
    assert hash(pair(1)) == hash(pair(1, note="x"))
    assert repr(pair(1, (2,))).endswith("Pair(first=1, second=(2,), made=[])")
    assert named(first=1, third=2.0).fixed == 7
    assert named(first=1, third=2.0).third == 2.0
    assert pair(1).made is not pair(1).made
    assert replace(named(first=1, third=2.0), third=3.0).third == 3.0
    assert alone(1.0) != alone(1.0)
    assert pair.__match_args__ == ("first", "second", "note", "made")
    with pytest.raises(ValueError, match="first"):
        pair(-1)
    for wrong in ((), (1, 2, 3, 4, 5)):
        with pytest.raises(TypeError):
            pair(*wrong)
    with pytest.raises(TypeError):
        named(1, third=2.0, fixed=3)


@pytest.mark.parametrize(("pair", "named", "alone"), [OURS, THEIRS])
def test_values_are_frozen(pair, named, alone):
    for value in (pair(1), named(first=1, third=2.0), alone(1.0)):
        name = dataclasses.fields(value)[0].name
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, name, 5)
        with pytest.raises(dataclasses.FrozenInstanceError):
            delattr(value, name)
    with pytest.raises(TypeError):
        hash(pair(1, ([],)))


def test_values_are_copied_and_pickled_whole():
    value = Kept(1, "c")
    assert pickle.loads(pickle.dumps(value)) == value
    assert copy.deepcopy(value) == copy.copy(value) == value


def test_a_heavy_value_is_hashed_once():
    asked = []

    class Counted:
        def __hash__(self):
            asked.append(self)
            return 7

    value = Heavy(Counted())
    assert hash(value) == hash(value) == hash((value.held,))
    assert len(asked) == 2
    again = replace(value, note="other")
    assert again == value
    assert hash(again) == hash(value)
    assert not hasattr(copy.copy(value), "_hash")  # of another process it would be wrong
    with pytest.raises(dataclasses.FrozenInstanceError):
        value.held = 5
