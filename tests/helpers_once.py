"""One house-year for many commands: what they do with it is tested, and tracing it again would only take time."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pytest

    from tenhour.model.house import House
    from tenhour.pipeline.sunlight import Sources
    from tenhour.pipeline.world import World


def build_once(monkeypatch: pytest.MonkeyPatch, made: dict[str, World] | None = None) -> None:
    """Let commands run one after another share a house-year, for it is the same house in most of them."""
    from tenhour.pipeline import brighter, lamps, light, read, report, season, sow, why, world

    real = world.build
    kept = {} if made is None else made

    def build(house: House, sources: Sources) -> World:
        key = repr(house)
        if key not in kept:
            kept[key] = real(house, sources)
        return kept[key]

    for module in (brighter, lamps, light, read, report, season, sow, why, world):
        if getattr(module, "build", None) is real:
            monkeypatch.setattr(module, "build", build)
