"""Covers a house names: those of the catalogue, the user's own, and glass drawn as windows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from tenhour.files.house.parts import Parts
from tenhour.files.house.schema import CoverTable
from tenhour.files.problems import Problems, dotted, show, suggest
from tenhour.model.cover import OPAQUE, Cover

UNPASSED_REFLECTED: Final = 0.5
"""Share of the light a measured cover does not pass that it throws back inside, where not given. Judgement."""
LEAST_HEMISPHERICAL_SHARE: Final = 0.66
"""Of the normal transmittance; clear glass has 0.9, and below 0.657 the curve by angle has no answer. Judgement."""
FILMS_M2_K_W: Final = 0.17
"""Resistance of the air on both sides of a pane, 0.13 + 0.04 m² K W⁻¹: ISO 6946, table 7. From memory."""
GAP_M2_K_W: Final = 0.17
"""Of the still air between two panes of glass, 12 to 20 mm: ISO 6946, table 8. From memory."""
DRAWN: Final = "/window"
"""Ends the key of a cover whose frame is drawn, so that no frame share is taken off it."""
SHARES: Final = ("frame_share", "dirt_share", "condensation_share", "snow_share")
_FIELDS: Final = {
    "title": "title",
    "normal_transmittance": "normal_trans_frac",
    "hemispherical_transmittance": "hemispherical_trans_frac",
    "straight_share": "straight_share",
    "reflectance": "inside_refl_frac",
    "panes": "panes",
    "refractive_index": "refractive_index",
    "internal_transmittance": "internal_trans_frac",
    "u_w_m2_k": "u_w_m2_k",
    **{name: name for name in SHARES},
}


def known_covers(
    parts: Parts, catalogue: Mapping[str, Cover], problems: Problems, notes: list[str]
) -> dict[str, Cover]:
    """Return the catalogue with the user's own covers added; problems and defaults are noted."""
    known = dict(catalogue)
    known.setdefault(OPAQUE, Cover(OPAQUE))
    for name, given in parts.covers.items():
        cover = _own_cover(name, given, catalogue, problems, notes)
        if cover is not None:
            known[name] = cover
    return known


def _own_cover(
    name: str, given: CoverTable, catalogue: Mapping[str, Cover], problems: Problems, notes: list[str]
) -> Cover | None:
    key = dotted(["cover", name])
    before = len(problems.found)
    if name == OPAQUE:
        problems.add(key, "a cover named opaque", "any other name", "Nothing passes an opaque face.")
    if given.like is not None and given.like not in catalogue:
        problems.choice(f"{key}.like", given.like, "a cover nobody knows", sorted(catalogue))
    base = catalogue.get(given.like or name)
    _check_pairs(key, given, base, problems)
    _check_balance(key, given, base, problems)
    if len(problems.found) > before:
        return None
    values = {_FIELDS[k]: v for k, v in given.model_dump(exclude_none=True).items() if k in _FIELDS}
    if base is not None:
        return replace(base, **{"key": name, **values})
    return _new_cover(name, given, values, notes)


def _new_cover(name: str, given: CoverTable, values: dict[str, Any], notes: list[str]) -> Cover:
    key = dotted(["cover", name])
    layered = given.refractive_index is not None and given.internal_transmittance is not None
    if given.straight_share is None:
        notes.append(f"{key}: all of the light passes straight on (straight_share 1): none was given.")
    if layered and given.panes is None:
        notes.append(f"{key}: one pane.")
    if not layered and given.reflectance is None and given.hemispherical_transmittance is not None:
        reflectance = round(UNPASSED_REFLECTED * (1.0 - given.hemispherical_transmittance), 3)
        values["inside_refl_frac"] = reflectance
        notes.append(
            f"{key}: reflectance towards the inside {reflectance:g}, half of what does not pass: none was given."
        )
    if given.u_w_m2_k is None:
        panes = given.panes or 1
        values["u_w_m2_k"] = round(1.0 / (FILMS_M2_K_W + GAP_M2_K_W * (panes - 1)), 1)
        like = "one pane of glass does" if panes == 1 else f"{panes} panes of glass do"
        notes.append(f"{key}: loses heat as {like}: no u_w_m2_k was given.")
    missing = [share for share in SHARES if getattr(given, share) is None]
    if missing:
        notes.append(f"{key}: no losses by {', '.join(word.split('_')[0] for word in missing)}: none were given.")
    return replace(Cover(name, refractive_index=1.5, internal_trans_frac=1.0), **_bare(values))


def _bare(values: dict[str, Any]) -> dict[str, Any]:
    """The layers of a measured cover are unknown unless given."""
    return {"refractive_index": None, "internal_trans_frac": None, **values}


def _check_pairs(key: str, given: CoverTable, base: Cover | None, problems: Problems) -> None:
    """Both transmittances, or both layer numbers, or a cover of the catalogue to start from."""
    if base is not None or given.like is not None:
        return
    measured = ("normal_transmittance", "hemispherical_transmittance")
    layers = ("refractive_index", "internal_transmittance")
    any_given = False
    for pair in (measured, layers):
        missing = [name for name in pair if getattr(given, name) is None]
        any_given = any_given or len(missing) < len(pair)
        if len(missing) == 1:
            problems.add(f"{key}.{missing[0]}", "nothing", f"{pair[0]} and {pair[1]} together", f"Add {missing[0]}.")
    if not any_given:
        do = f'Add {" and ".join(measured)}, or {" and ".join(layers)}, or like = "glass-2".'
        problems.add(key, "no transmittance", "a measured pair, layers, or a cover of the catalogue", do)


def _check_balance(key: str, given: CoverTable, base: Cover | None, problems: Problems) -> None:
    """No more light may leave a pane than falls on it, and none of it may vanish at a slant."""
    normal, hemispherical, reflectance = (
        getattr(given, name) if getattr(given, name) is not None or base is None else getattr(base, _FIELDS[name])
        for name in ("normal_transmittance", "hemispherical_transmittance", "reflectance")
    )
    if normal is not None and hemispherical is not None:
        at = f"{key}.hemispherical_transmittance"
        least = round(LEAST_HEMISPHERICAL_SHARE * normal, 4)
        if hemispherical > normal:
            problems.add(at, show(hemispherical), f"up to the normal one, {show(normal)}", "Did you swap the two?")
        elif hemispherical < least:
            do = "No pane lets so little through at a slant; check both."
            problems.add(at, show(hemispherical), f"at least {show(least)} beside a normal one of {show(normal)}", do)
    if hemispherical is not None and reflectance is not None and hemispherical + reflectance > 1:
        allowed = f"up to {show(round(1 - hemispherical, 6))}, what does not pass"
        problems.add(f"{key}.reflectance", show(reflectance), allowed, "A pane gives off no more than it gets.")


def check_cover(key: str, name: str | None, known: Mapping[str, Cover], parts: Parts, problems: Problems) -> None:
    """Note a cover that is neither in the catalogue nor the user's own."""
    if name is None or name in known or name in parts.bad_covers or name in parts.covers:
        return
    problems.add(key, f"{show(name)}, a cover nobody knows", "", suggest(name, sorted(known)))


def drawn(name: str, known: dict[str, Cover], parts: Parts) -> str:
    """Key of a cover where its glass is drawn: without the catalogue's frame share, which the drawing replaces."""
    cover = known.get(name)
    own = parts.covers.get(name)
    if cover is None or cover.frame_share == 0 or (own is not None and own.frame_share is not None):
        return name
    known[name + DRAWN] = replace(cover, key=name + DRAWN, frame_share=0.0)
    return name + DRAWN
