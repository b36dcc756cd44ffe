"""Rules: which changes of a reply's advice can be made together, and what is said of those that
cannot (`remarks`)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any, Final

from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import MADE_ON_SITE
from service.rules.advice.trial import NO_WORK, Trial
from service.rules.table import RULES

_TWICE: Final = "the same part of the document would be changed twice"
Found = Mapping[str, Outcome]


class _Conflict(Exception):  # noqa: N818
    """Two changes give one thing different values."""


def remarks(trial: Trial, found: Mapping[str, Outcome | None]) -> dict[str, str]:
    """What is to be said of the changes that cannot be made together with the others, by rule.

    All changes without a remark, made one after the other, cure all of their rules and break no
    other. Changes come in the order of `found`, and one that does not fit those before it gets the
    remark. found: the outcome of the change that cures each rule, or None; rules that are violated
    come first.
    """
    cures = {rule: outcome for rule, outcome in found.items() if outcome is not None}
    trial.share_among(1)
    kept, told = _sorted_out(cures, lambda _: "")
    if len(kept) > 1 and _not_together(trial, cures, kept):
        _, told = _sorted_out(cures, lambda rules: _not_together(trial, cures, rules))
    return told


def _sorted_out(
    cures: Found, not_together: Callable[[Sequence[str]], str]
) -> tuple[list[str], dict[str, str]]:
    """The rules whose changes are made together, and the remarks on the others.

    not_together: why the changes for some rules cannot be made together, in words; empty where they
    can.
    """
    kept: list[str] = []
    told: dict[str, str] = {}
    for first, *others in _alike(cures):
        steps = _steps(cures, first)
        undone = any(_collide(_steps(cures, one), steps) for one in kept)
        why = _TWICE if undone else not_together([*kept, first, *others])
        if why:
            told |= dict.fromkeys((first, *others), _apart(why))
            continue
        kept += [first, *others]
        if any(step.removes or step.path.endswith("/-") for step in steps):
            told |= dict.fromkeys(others, _once(first))
    return kept, told


def _alike(cures: Found) -> list[list[str]]:
    """The rules by their changes: those with the same change together."""
    found: list[list[str]] = []
    for rule in cures:
        steps = _steps(cures, rule)
        alike = next((one for one in found if _steps(cures, one[0]) == steps), None)
        if alike is None:
            found.append([rule])
        else:
            alike.append(rule)
    return found


def _steps(cures: Found, rule: str) -> tuple[Step, ...]:
    return cures[rule].attempt.steps


def _once(rule: str) -> str:
    return f"It is the change for the rule on {RULES[rule].subject} as well: make it once."


def _apart(why: str) -> str:
    if why == NO_WORK:
        return "It was not tried together with the other changes, for want of work left."
    return f"Made with the other changes, {why}: ask anew once those are made."


def _not_together(trial: Trial, cures: Found, rules: Sequence[str]) -> str:
    """Why the changes for some rules cannot be made together, in words; empty where they can."""
    base = trial.base
    parts, deck, kit = base.parts, base.deck, base.kit
    try:
        for attempt in (cures[rule].attempt for rule in rules):
            parts += tuple(part for part in attempt.parts if part not in parts)
            deck = _merged(base.deck, deck, attempt.deck)
            kit = _merged(base.kit, kit, attempt.kit)
    except _Conflict:
        return _TWICE
    return trial.why_not_all(rules, Attempt(parts, deck, kit), MADE_ON_SITE)


def _collide(one: Sequence[Step], other: Sequence[Step]) -> bool:
    """Whether two JSON Patches do not come to the same in either order.

    They do not where both write one place otherwise, or one of them takes out, moves or writes anew
    what holds a place that the other writes or copies.
    """
    first, second = _written(one), _written(other)
    if any(path in second and second[path] != value for path, value in first.items()):
        return True
    return any(
        holder in written
        for steps, written in ((one, second), (other, first))
        for step in steps
        for holder in (*_holders(step.path), *_holders(step.source or ""), step.source)
    )


def _written(steps: Iterable[Step]) -> dict[str | None, object]:
    """What the steps of a change write, by path.

    An entry that is added to a list goes by its name in that list, and is like no other entry of
    that name. One that is taken out moves the others, so that all of the list is written anew.
    """
    written: dict[str | None, object] = {}
    for step in steps:
        path, _, last = step.path.rpartition("/")
        if step.removes:
            written[path] = object()
        elif last == "-" and isinstance(step.value, dict):
            written[f"{step.path}{step.value.get('id', step.value['edge'])}"] = object()
        else:
            written[step.path] = step.value, step.source
    return written


def _holders(path: str) -> Iterator[str]:
    """The places that hold a place, from the inside out."""
    while path := path.rpartition("/")[0]:
        yield path


def _merged(base: Any, one: Any, other: Any) -> Any:  # noqa: ANN401
    """A record with what is changed in `one` and what is changed in `other`, both made from `base`.

    Entries of lists go by their number or id. Raises _Conflict where both give one thing different
    values.
    """
    if one in (base, other):
        return other
    if other == base:
        return one
    if is_dataclass(base) and not isinstance(base, type):
        names = [field.name for field in fields(base)]
        return replace(
            base, **_each_merged(names, *(_members(each) for each in (base, one, other)))
        )
    if isinstance(base, dict):
        return _each_merged(base, base, one, other)
    if isinstance(base, tuple):
        was, first, then = (_by_name(each) for each in (base, one, other))
        return tuple(_each_merged({**was, **first, **then}, was, first, then).values())
    raise _Conflict


def _each_merged(names: Iterable[Any], *records: Mapping[Any, Any]) -> dict[Any, Any]:
    """Members or entries, by name, merged one by one. records: the same thing in `base` and in the
    two changes; an entry that is new is in only some of them."""
    return {name: _merged(*(record.get(name) for record in records)) for name in names}


def _members(record: Any) -> dict[str, Any]:  # noqa: ANN401
    return {field.name: getattr(record, field.name) for field in fields(record)}


def _by_name(entries: tuple[Any, ...]) -> dict[Any, Any]:
    """The entries of a list by number or id. Raises _Conflict for entries that have neither."""
    for name in ("number", "id"):
        if all(hasattr(entry, name) for entry in entries):
            return {getattr(entry, name): entry for entry in entries}
    raise _Conflict
