from pathlib import Path

import pytest

from tenhour.files.crop import find_crop, load_all_facts, load_crops, load_facts, load_sources
from tenhour.model.crop_answer import crop_answer, crops_answer
from tenhour.report.answers import answer_json
from tenhour.report.crops import LABELS, crop_text, crops_text

CROPS = load_crops()
FACTS = load_all_facts(CROPS)
SOURCES = load_sources()


@pytest.mark.parametrize("width", [80, 120])
def test_the_table_fits_and_names_every_crop(width: int) -> None:
    text = crops_text(CROPS, FACTS, width)
    assert all(len(line) <= width for line in text.splitlines())
    for crop in CROPS:
        assert crop.key in text
    assert "rest on judgement alone" in text


@pytest.mark.parametrize("name", ["kale", "celery", "pea-shoots", "tomato", "onion-plants", "baby-lettuce"])
@pytest.mark.parametrize("width", [80, 120])
def test_one_crop_shows_each_value_with_its_source(name: str, width: int) -> None:
    crop = find_crop(CROPS, name)
    facts = load_facts(crop)
    text = crop_text(crop, facts, SOURCES, width)
    assert all(len(line) <= width for line in text.splitlines())
    plain = " ".join(text.split())
    for key, number in crop.numbers():
        assert LABELS[key].split()[0] in plain
        assert f"{number.value:g}" in plain
        assert number.source in plain
    for fact in facts:
        assert f"{fact.source}: " in text  # spelled out among the sources


def test_json_holds_every_number_with_unit_mark_and_source() -> None:
    crop = find_crop(CROPS, "celery")
    answer = answer_json(crop_answer(crop, load_facts(crop), SOURCES))
    assert answer["command"] == "crops"
    assert answer["crop"] == "celery"
    keys = {value["key"]: value for value in answer["values"]}
    assert keys["bolting.cold_degc"]["value"] == 14.0
    assert keys["bolting.cold_degc"]["unit"] == "°C"
    assert keys["bolting.cold_degc"]["source"] in answer["sources"]
    assert {finding["source"] for finding in answer["findings"]} <= set(answer["sources"])


def test_json_of_the_table_counts_marks() -> None:
    answer = answer_json(crops_answer(CROPS, FACTS))
    assert len(answer["crops"]) == len(CROPS)
    numbers = answer["numbers"]
    assert sum(numbers["by_mark"].values()) == numbers["count"]
    assert numbers["judgement_share"] == pytest.approx(numbers["by_mark"]["judgement"] / numbers["count"], abs=1e-3)
    assert answer["findings"]["count"] == len(FACTS)


def test_names_from_user_files_cannot_steer_the_terminal(tmp_path: Path) -> None:
    shipped = (Path(__file__).parents[2] / "crops" / "radish.toml").read_text("utf-8")
    (tmp_path / "mine.toml").write_text(shipped.replace('name = "radish"', 'name = "rad\\u001b[31mish"'), "utf-8")
    crop = find_crop(load_crops(tmp_path), "mine")
    assert "\x1b" not in crop_text(crop, (), SOURCES, 80)
