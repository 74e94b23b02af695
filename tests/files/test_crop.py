import tomllib
from pathlib import Path

import pytest

from tenhour.errors import FileProblem
from tenhour.files import find
from tenhour.files.crop import find_crop, load_all_facts, load_crops, load_facts, load_sources
from tenhour.files.crop_lines import read_plain
from tenhour.model.crop import CARBON_WAYS, WAYS, growth_columns

GOOD = """schema = 1
name = "my rocket"
way = "seed-fed"

[tray]
base_degc = { value = 3.0, low = 2.0, high = 4.0, source = "own", mark = "practice" }
sum_degcday = { value = 200.0, low = 180.0, high = 220.0, source = "own", mark = "practice" }
reserve_mass_g_m2 = { value = 700.0, low = 500.0, high = 900.0, source = "own", mark = "practice" }
light_mass_g_m2 = { value = 1000.0, low = 500.0, high = 1500.0, source = "own", mark = "practice" }
half_light_mol_m2 = { value = 100.0, low = 50.0, high = 150.0, source = "own", mark = "practice" }
seed_g_m2 = { value = 40.0, low = 30.0, high = 50.0, source = "own", mark = "practice" }

[climate]
kill_degc = { value = -2.0, low = -4.0, high = 0.0, source = "own", mark = "practice" }

[light]
dli_target_mol_m2_d = { value = 6.0, low = 3.0, high = 12.0, source = "own", mark = "practice" }
"""


def lines(error: pytest.ExceptionInfo[FileProblem]) -> list[str]:
    return [problem.line() for problem in error.value.problems]


def folder_with(tmp_path: Path, **texts: str) -> Path:
    for name, text in texts.items():
        (tmp_path / f"{name}.toml").write_text(text, "utf-8")
    return tmp_path


def test_the_table_holds_forty_crops_of_every_way() -> None:
    crops = load_crops()
    assert len(crops) >= 40
    assert [crop.key for crop in crops] == sorted(crop.key for crop in crops)
    assert {crop.way for crop in crops} == set(WAYS)
    first = {"head-lettuce", "leaf-lettuce", "spinach", "kale", "chard", "arugula", "mizuna", "radish", "scallion",
             "celery", "parsley", "pea-shoots"}  # fmt: skip
    assert first <= {crop.key for crop in crops}


def test_every_carbon_crop_unpacks_into_columns() -> None:
    crops = [crop for crop in load_crops() if crop.way in CARBON_WAYS]
    columns = growth_columns(crops)
    assert {len(column) for column in columns.values()} == {len(crops)}
    assert (columns["density_per_m2"] > 0).all()
    assert all(crop.grows_by_carbon for crop in crops)


def test_a_folder_of_ones_own_adds_and_overrides(tmp_path: Path) -> None:
    folder = folder_with(tmp_path, **{"my-rocket": GOOD, "pea-shoots": GOOD.replace("my rocket", "my peas")})
    crops = {crop.key: crop for crop in load_crops(folder)}
    assert crops["my-rocket"].tray is not None
    assert crops["my-rocket"].tray.sum_degcday.value == 200.0
    assert crops["pea-shoots"].name == "my peas"
    assert len(crops) == len(load_crops()) + 1


def test_own_sources_may_be_listed(tmp_path: Path) -> None:
    folder = folder_with(tmp_path, mine=GOOD.replace('"own"', '"DIARY"'))
    with pytest.raises(FileProblem, match='"DIARY", no known source'):
        load_crops(folder)
    (folder / "sources.toml").write_text('[DIARY]\ntitle = "My garden book"\nkind = "own"\n', "utf-8")
    assert load_sources(folder)["DIARY"].title == "My garden book"
    assert any(crop.key == "mine" for crop in load_crops(folder))


BAD = {
    "hours beyond a day": (
        GOOD.replace("[light]", '[light]\nphotoperiod_max_h = { value = 30.0, low = 16.0, high = 30.0, '
                     'source = "own", mark = "practice" }'),
        ["light.photoperiod_max_h.value: found 30; allowed: 0 to 24 (hours)"],
    ),
    "no source": (GOOD.replace('high = 4.0, source = "own", mark', "high = 4.0, mark"), ["tray.base_degc.source"]),
    "empty source": (GOOD.replace('high = 4.0, source = "own"', 'high = 4.0, source = ""'), ["no known source"]),
    "unknown mark": (
        GOOD.replace('high = 4.0, source = "own", mark = "practice"', 'high = 4.0, source = "own", mark = "reed"'),
        ["tray.base_degc.mark", "Did you mean read?"],
    ),
    "fahrenheit": (
        GOOD.replace("value = -2.0, low = -4.0, high = 0.0", "value = 68.0, low = 60.0, high = 70.0"),
        ["climate.kill_degc.value: found 68", "Is this °F? That would be 20."],
    ),
    "a flux for a sum": (
        GOOD.replace("value = 6.0, low = 3.0, high = 12.0", "value = 200.0, low = 100.0, high = 300.0"),
        ["light.dli_target_mol_m2_d.value: found 200", "Is this a flux in µmol"],
    ),
    "value outside its spread": (
        GOOD.replace("value = 6.0, low = 3.0", "value = 2.0, low = 3.0"),
        ["light.dli_target_mol_m2_d: found low / value / high = 3 / 2 / 12; allowed: low ≤ value ≤ high"],
    ),
    "least above target": (
        GOOD + 'dli_min_mol_m2_d = { value = 9.0, low = 9.0, high = 9.0, source = "own", mark = "practice" }\n',
        ["light.dli_min_mol_m2_d: found 9; allowed: at most light.dli_target_mol_m2_d, which is 6"],
    ),
    "unknown key": (GOOD.replace("kill_degc", "kil_degc"), ["climate.kil_degc: unknown key", "kill_degc"]),
    "unknown way": (GOOD.replace('"seed-fed"', '"seedfed"'), ["way", "Did you mean seed-fed?"]),
    "way without its table": (GOOD.replace('"seed-fed"', '"cut"'), ["emergence: found nothing", "growth", "harvest"]),
    "no schema": (GOOD.replace("schema = 1\n", ""), ["schema = 1"]),
    "not toml": (GOOD.replace("[tray]", "[tray"), ["not valid TOML"]),
    "text for a number": (GOOD.replace("value = 3.0", 'value = "three"'), ["tray.base_degc.value"]),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_crop_files_say_what_to_do(name: str, tmp_path: Path) -> None:
    text, wanted = BAD[name]
    with pytest.raises(FileProblem, match=r"mine\.toml") as error:
        load_crops(folder_with(tmp_path, mine=text))
    found = "\n".join(lines(error))
    for part in wanted:
        assert part in found
    assert all("\n" not in line for line in lines(error))


def test_a_share_in_per_cent_is_recognised(tmp_path: Path) -> None:
    shipped = (find.shipped_folder() / "radish.toml").read_text("utf-8")
    start = shipped.index("dry_matter_frac = { value = ") + len("dry_matter_frac = { value = ")
    text = shipped[:start] + "4.7" + shipped[shipped.index(",", start) :]
    with pytest.raises(FileProblem, match=r"found 4.7; allowed: 0 to 1 \(a share from 0 to 1\)\. Did you mean 0.047"):
        load_crops(folder_with(tmp_path, radish=text))


def test_all_problems_of_all_files_come_at_once(tmp_path: Path) -> None:
    one = GOOD.replace("value = 6.0, low = 3.0", "value = 2.0, low = 3.0").replace("value = -2.0", "value = 99.0")
    with pytest.raises(FileProblem, match="one") as error:
        load_crops(folder_with(tmp_path, one=one, two=GOOD.replace("[climate]", "[clima]")))
    found = lines(error)
    assert len(found) >= 3
    assert any("one.toml" in line for line in found)
    assert any("two.toml" in line for line in found)


@pytest.mark.parametrize(
    ("names", "says"),
    [
        ([], "found an empty folder; allowed: a folder of crop files"),
        (["notes.txt", "sources.toml"], "found 2 files, none of them a crop file; allowed"),
        (
            ["spinach.tml"],
            r"spinach.tml: found not read; allowed: a name that ends in .toml. Rename it to spinach.toml",
        ),
        (["spinach.TOML"], r"Rename it to spinach.toml"),
        (["Spinach.toml"], r"Spinach.toml: found capitals or blanks in its name; allowed: none. Rename it to spinach"),
        (["spinach.toml", "Pak_Choi.toml"], r"Rename it to pak-choi.toml"),
    ],
)
def test_a_folder_that_would_be_passed_over_in_silence(names: list[str], says: str, tmp_path: Path) -> None:
    for name in names:
        (tmp_path / name).write_text(GOOD if name != "sources.toml" else "", "utf-8")
    with pytest.raises(FileProblem, match=says):
        load_crops(tmp_path)


def test_missing_folder_and_file_for_folder(tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match="no such folder; allowed: a folder of crop files"):
        load_crops(tmp_path / "nowhere")
    (tmp_path / "file").write_text("x", "utf-8")
    with pytest.raises(FileProblem, match="found a file; allowed: a folder"):
        load_crops(tmp_path / "file")


def test_names_growers_use_are_found() -> None:
    crops = load_crops()
    assert find_crop(crops, "kale").key == "kale"
    assert find_crop(crops, "Rocket").key == "arugula"
    assert find_crop(crops, "spring onion").key == "scallion"
    with pytest.raises(FileProblem, match="Did you mean spinach"):
        find_crop(crops, "spinnach")


def test_facts_are_kept_beside_crops() -> None:
    crops = load_crops()
    facts = load_facts(find_crop(crops, "celery"))
    assert any(fact.prop == "bolting" and fact.source == "CELN" for fact in facts)
    assert len(load_all_facts(crops)) > 600


def test_a_wheel_carries_the_files_and_a_checkout_is_the_fallback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site" / "tenhour"
    (package / "_crops").mkdir(parents=True)
    monkeypatch.setattr(find, "PACKAGE", package)
    with pytest.raises(FileProblem, match="Install again"):
        find.shipped_folder()
    (package / "_crops" / "sources.toml").write_text("", "utf-8")
    assert find.shipped_folder() == package / "_crops"
    src = tmp_path / "checkout" / "src" / "tenhour"
    (tmp_path / "checkout" / "crops").mkdir(parents=True)
    (tmp_path / "checkout" / "crops" / "sources.toml").write_text("", "utf-8")
    src.mkdir(parents=True)
    monkeypatch.setattr(find, "PACKAGE", src)
    assert find.shipped_folder() == tmp_path / "checkout" / "crops"


def test_quick_reading_is_reading() -> None:
    for path in sorted(find.shipped_folder().glob("*.toml")):
        if path.name != "sources.toml":
            text = path.read_text("utf-8")
            assert read_plain(text) == tomllib.loads(text), path.name


@pytest.mark.parametrize(
    "change",
    [
        ("[tray]\n", "[tray]\n[tray]\n"),
        ("seed_g_m2 = {", "base_degc = {"),
        ("[tray]", "[[tray]]"),
        ('name = "my rocket"', 'name = "my rocket'),
        ("value = 3.0", "value = 03.0"),
        ("[climate]", "[cli mate]"),
    ],
)
def test_what_is_not_plain_is_left_to_the_toml_reader(change: tuple[str, str]) -> None:
    assert read_plain(GOOD.replace(*change)) is None


def test_comments_and_other_toml_still_work(tmp_path: Path) -> None:
    text = "# mine\n" + GOOD.replace("[climate]", "[climate] # frost").replace("value = -2.0", "value = -2")
    crops = {crop.key: crop for crop in load_crops(folder_with(tmp_path, mine=text))}
    assert crops["mine"].climate.kill_degc.value == -2.0
