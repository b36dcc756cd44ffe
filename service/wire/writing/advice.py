"""Wire: advice as the reply has it."""

from __future__ import annotations

from dataclasses import replace

from service.rules.advice.advice import Advice
from service.rules.advice.attempts import Step
from service.wire.writing.pen import Json, Pen


def write_advice(pen: Pen, advice: Advice) -> Json:
    """One piece of advice; where no change was found, only the rule, its places and the reason."""
    written: Json = {
        "rule": advice.rule,
        "result": advice.result,
        "where": list(advice.where),
        "message": advice.message,
    }
    if advice.result == "not_found":
        return written
    written["change"] = [_step(step) for step in advice.steps]
    for name in ("posts", "bays", "glass_panels"):
        now, then = getattr(advice, name)
        written[name] = {"now": now, "then": then}
    finest = pen if advice.step is None else Pen(replace(pen.deck, step=advice.step), pen.kit)
    written["cuts"] = [
        {"part": cut.part, **finest.named("length", cut.length), "more": cut.more}
        for cut in advice.cuts
    ]
    if advice.total is not None:
        written["total"] = {"now": advice.total[0], "then": advice.total[1]}
    written["still"] = list(advice.still)
    written["brings"] = list(advice.brings)
    written["warns_more"] = [
        {"rule": each.rule, "now": each.now, "then": each.then} for each in advice.warns_more
    ]
    return written


def _step(step: Step) -> Json:
    if step.removes:
        return {"op": "remove", "path": step.path}
    if step.source is not None:
        return {"op": "copy", "from": step.source, "path": step.path}
    return {"op": "add", "path": step.path, "value": step.value}
