"""House-years kept in a folder: the same answers, and no file there, whatever is in it, that does harm."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from helpers_fuzz import BREAKS
from helpers_long import many
from helpers_world import crops, plain, sources
from tenhour.files.kept import MOST_FILES, Kept
from tenhour.house.bedlight import BedLight
from tenhour.model.house import Air, House
from tenhour.plan.ranges import at_share
from tenhour.year.crops.grown import table_of
from tenhour.year.outside.sunlight import made
from tenhour.year.world import build

SOME = [crops()["kale"], crops()["pea-shoots"]]


@dataclass
class Counted:
    """Something that is made, and how often."""

    made: int = 0

    def __call__(self) -> tuple[np.ndarray, float]:
        self.made += 1
        return np.arange(6.0).reshape(2, 3), float("inf")


def files(folder: Path) -> list[Path]:
    return sorted(folder.glob("*"))


def test_what_is_kept_is_made_once_and_comes_back_the_same(tmp_path: Path) -> None:
    make = Counted()
    first = Kept(tmp_path)("thing", ("house", np.ones(3)), make)
    again = Kept(tmp_path)("thing", ("house", np.ones(3)), make)
    assert make.made == 1
    assert np.array_equal(first[0], again[0])
    assert again[1] == np.inf
    Kept(tmp_path)("thing", ("house", np.array(["2026-11-28"], dtype="datetime64[D]")), make)
    Kept(tmp_path)("other", ("house", np.ones(3)), make)
    assert make.made == 3


@pytest.mark.parametrize("harm", ["cut short", "a bit turned", "empty", "words", "a folder", "another class"])
def test_a_file_that_is_damaged_or_not_ours_is_made_anew(tmp_path: Path, harm: str) -> None:
    make = Counted()
    Kept(tmp_path)("thing", ("house",), make)
    (path,) = files(tmp_path)
    data = bytearray(path.read_bytes())
    if harm == "a bit turned":
        data[len(data) // 2] ^= 4
    elif harm == "another class":
        data = bytearray(data.replace(b'["tuple"', b'["named"'))
    if harm == "a folder":
        path.unlink()
        path.mkdir()
    else:
        path.write_bytes(
            {"cut short": bytes(data[: len(data) // 2]), "empty": b"", "words": b"house"}.get(harm, bytes(data))
        )
    found = Kept(tmp_path)("thing", ("house",), make)
    assert make.made == 2
    assert np.array_equal(found[0], np.arange(6.0).reshape(2, 3))


def test_whatever_is_broken_in_a_file_the_answer_is_the_same(tmp_path: Path) -> None:
    """Bytes turned, cut, put in and taken out at random; and the number of the way it is packed, by hand."""
    make = Counted()
    Kept(tmp_path)("thing", ("house",), make)
    (path,) = files(tmp_path)
    good, rng, kept = path.read_bytes(), random.Random(1), Kept(tmp_path)
    entry = good.index(b"PK\x01\x02")
    otherwise = [
        good[: entry + at] + bytes([value]) + good[entry + at + 1 :] for at, value in ((6, 99), (8, 1), (10, 5))
    ]
    otherwise += [good[: entry + 10] + b"\x08" + good[entry + 11 :]]
    for data in [*otherwise, *(rng.choice(BREAKS)(rng, good) for _ in range(many(40, 3000)))]:
        path.write_bytes(data)
        found = kept("thing", ("house",), make)
        assert np.array_equal(found[0], np.arange(6.0).reshape(2, 3))
        assert found[1] == np.inf


def test_nothing_in_a_file_is_run(tmp_path: Path) -> None:
    """An array of objects would have to be unpickled, a class of others to be loaded: neither is."""
    make = Counted()
    Kept(tmp_path)("thing", ("house",), make)
    (path,) = files(tmp_path)
    for tree in ('["array", "a0"]', '["of", "system", {}]', '["named", "Popen", ["true"]]'):
        objects = np.array([object], dtype=object)
        np.savez(path, tree=np.frombuffer(tree.encode(), dtype=np.uint8), a0=objects)
        before = make.made
        Kept(tmp_path)("thing", ("house",), make)
        assert make.made == before + 1, tree


def test_a_folder_that_cannot_be_written_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("here", encoding="utf-8")
    make = Counted()
    assert Kept(tmp_path / "file" / "below")("thing", ("house",), make)[1] == np.inf


def test_the_folder_does_not_grow_without_end(tmp_path: Path) -> None:
    kept = Kept(tmp_path)
    for number in range(MOST_FILES + 5):
        kept("thing", (number,), Counted())
    assert len(files(tmp_path)) == MOST_FILES


def test_answers_from_the_folder_are_the_same_to_the_last_digit(tmp_path: Path) -> None:
    keeping = replace(sources(), kept=Kept(tmp_path))
    tables = [table_of(build(plain(), given), SOME) for given in (replace(sources(), kept=made), keeping, keeping)]
    for table in tables[1:]:
        assert np.array_equal(table.days, tables[0].days, equal_nan=True)
        assert np.array_equal(table.ruling.code, tables[0].ruling.code)
        assert np.array_equal(table.world.air.lows_degc, tables[0].world.air.lows_degc)
        for name in BedLight.__dataclass_fields__:
            one, other = (getattr(own.world.warmth.found, name) for own in (tables[0], table))
            assert not isinstance(one, np.ndarray) or np.array_equal(one, other)
        assert np.array_equal(table.needs_dli_mol_m2_d, tables[0].needs_dli_mol_m2_d, equal_nan=True)
        for day in (20, 250):
            assert np.array_equal(at_share(table.harvest_on_d(day), 0.5), tables[0].days[:, :, day], equal_nan=True)
            assert np.array_equal(at_share(table.young_on_d(day), 0.5), tables[0].young_days[:, :, day], equal_nan=True)
    kinds = {"light", "air", "grown", "sun", "sky", "threats", "judged", "needs"}
    assert {file.name.split("-")[0] for file in files(tmp_path)} == kinds


def test_light_is_kept_by_what_stands_in_the_room(tmp_path: Path) -> None:
    """Another set point traces nothing anew; a bed moved by a hair, another cover or another latitude does."""
    keeping = replace(sources(), kept=Kept(tmp_path))

    def kept_light(house: House) -> int:
        build(house, keeping)
        return len(list(tmp_path.glob("light-*")))

    house = plain()
    assert kept_light(house) == 1
    assert kept_light(replace(house, air=Air(night_set_degc=(5.0,) * 12))) == 1
    bed = house.beds[0]
    assert kept_light(replace(house, beds=(replace(bed, at_m=(bed.at_m[0] + 1e-9, bed.at_m[1])), *house.beds[1:]))) == 2
    assert kept_light(replace(house, site=replace(house.site, latitude_deg=house.site.latitude_deg + 1e-9))) == 3
