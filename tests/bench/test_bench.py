"""The parts of the benchmark on tiny input: both sides of each measurement find the same. No clock is asked."""

from __future__ import annotations

import datetime as dt
import math
import re
from pathlib import Path

import pytest

from asfound.assess import assess_case, crew
from asfound.figures import SITE, draw
from asfound.model.dossier import Dossier
from tests.real.reader import chromium

from . import (
    document,
    drawings,
    first_chart,
    jobs,
    long_files,
    nine,
    pack,
    past,
    readings,
    scale,
    serve,
    site,
    startup,
    weighing,
    weights,
    yaml_files,
)
from .__main__ import PARTS, main
from .method import Line, in_turn, process


def test_both_yaml_readers_see_the_same_structure() -> None:
    files = yaml_files.texts(3)
    assert len(set(files)) == 3 and all(one.count(b"\n") == 61 for one in files)
    for mine, bare in zip(yaml_files.ours(files), yaml_files.theirs(files), strict=True):
        assert list(mine) == list(bare)
        for ref, item in bare.items():
            assert list(mine[ref]) == list(item) and mine[ref]["note"] == item["note"]


def test_both_ways_of_striking_find_the_same() -> None:
    one = weighing.facts(weighing.ROOT / "tests/rules/base", "cases/base")
    found = weighing.ours(one)
    assert len(found) > 5
    assert weighing.plain(one, tuple(strike.refs[0] for strike in found)) == found


def test_all_readers_of_a_table_pass_every_row(tmp_path: Path) -> None:
    data = readings.table(300)
    (tmp_path / "output.csv").write_bytes(data)
    assert readings.by_hand(data) == len(readings.read(data).rows) == len(readings.judged(data)[1]) == 300
    held = readings.memory(tmp_path, "output.csv")
    assert (held["readings"], held["verdicts"]) == (300, 300) and held["peak"] > 10


def test_frictionless_passes_every_row(tmp_path: Path) -> None:
    pytest.importorskip("frictionless", reason="the peer is an extra of its own: pip install -e .[bench]")
    (tmp_path / "output.csv").write_bytes(readings.table(300))
    assert readings.peer(tmp_path, "output.csv") == 300


@pytest.mark.parametrize(
    ("old", "new"),
    [("10,", "ten,"), (",cut,", ",saw,"), ("2026-03-10 09:00:20", "2026-03-09 09:00:20"), ("\n9,", "\n9,,")],
)
def test_the_hand_checks_are_checks(old: str, new: str) -> None:
    data = readings.table(30).decode()
    assert old in data
    with pytest.raises(ValueError, match="line "):
        readings.by_hand(data.replace(old, new).encode())


def test_both_documents_are_set(tmp_path: Path) -> None:
    document.prepare(tmp_path, 2, 12)
    for name in ("ours", "theirs"):
        process(document.command(name, tmp_path), document.ROOT)
        assert (tmp_path / f"{name}.pdf").read_bytes().startswith(b"%PDF-1.7")


def test_drawing_and_hand_drawing_show_every_point() -> None:
    hand = drawings.by_hand(drawings.places(50))
    mine = draw(drawings.chart(50), SITE)
    numbers = r"-?\d+\.\d,-?\d+\.\d"
    assert len(re.findall(numbers, hand.partition("polyline")[2])) == 50
    assert max(len(re.findall(numbers, path)) for path in re.findall(r'd="([^"]*)"', mine)) == 50


def test_the_sites_have_the_same_pages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    folders, count = site.sites(tmp_path, 28)
    assert tuple(folders) == site.NAMES
    found = {name: _articles(folder) for name, folder in folders.items()}
    assert found["whole"] == found["prepared"] == found["floor"]
    assert found["prepared-empty"] == found["floor-empty"]
    # Beside the pages of cases there are those by which they are found, whose number hangs on what the cases hold.
    assert len(found["whole"]) - len(found["floor-empty"]) >= count > 20
    assert sum(len(text) for articles in found["whole"].values() for text in articles) > 100_000


def test_the_site_of_the_nine_cases_and_its_floor_have_the_same_pages(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    ours, floor, built = nine.sites(tmp_path, cases=("no-shock",))
    made = _articles(floor)
    assert _articles(ours) == made and len(made) >= len(built.pages) > 20
    assert len(list((nine.ROOT / "cases").glob("*/case.yml"))) == 9
    assert nine.kept_nowhere(ours)[:2] == ["env", "ASFOUND_CACHE=off"]


def test_every_way_of_building_many_pages_gives_the_same_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    laid = scale.lay(tmp_path, 16 * crew.FEWEST)
    assert len(laid.commands) == len(scale.WAYS) and laid.pages > 20
    found = []
    for name, asked in list(zip(scale.WAYS, laid.commands, strict=True))[:3]:
        process(asked, tmp_path)
        home = tmp_path / ("shared" if name == "shared" else "whole") / "site"
        found.append({one.relative_to(home): one.read_bytes() for one in home.rglob("*.html")})
    assert found[0] == found[1] == found[2] and len(found[0]) > laid.pages
    assert list((tmp_path / "cache").rglob("*.assessment"))


def test_a_changed_reading_is_served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    folders, _ = site.sites(tmp_path, 14)
    table = folders["whole"] / serve.READINGS
    before = table.read_bytes()
    assert len(serve.rebuilds(folders["whole"], serve.READINGS, 2)) == 2
    assert table.read_bytes() == before and serve.VALUES[0].encode() in before
    shown = (folders["whole"] / "site/case/case-000/measurements/index.html").read_text("utf-8")
    value = serve.VALUES[2].split(",")[2]
    assert value != serve.VALUES[0].split(",")[2] and f"{value}\u00a0mL/h" in shown
    assert len(serve.rebuilds(folders["floor"], "", 1)) == 1


def test_one_process_and_two_make_the_same_of_cases(tmp_path: Path) -> None:
    site.repository(tmp_path, crew.FEWEST)
    one, two = jobs.made(tmp_path, 1), jobs.made(tmp_path, 2)
    assert one.pages == two.pages and one.files == two.files and len(one.pages) > 40
    assert all(spent > 0 for spent in (*jobs.run(tmp_path, 1), *jobs.run(tmp_path, 2)))


def test_the_heaviest_page_and_an_entry_of_the_search_are_those_of_the_cases(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(weights, "CASES", ["no-shock"])
    name, size = weights.heaviest()
    assert (
        name.startswith("no-shock/")
        and size == max(one for page, one in weights.sizes("no-shock").items() if page != "record") + weights.FRAME
    )
    assert 200 < weights.entry([_dossier()]) < 10_000


def _dossier() -> Dossier:
    found = assess_case(nine.ROOT, nine.ROOT / "cases/no-shock", dt.date(2026, 5, 30)).dossier
    assert found is not None
    return found


@pytest.mark.browser
def test_the_first_chart_of_a_page_and_the_bare_one_come_to_be_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_MKDOCS_2_WARNING", "1")
    ours, bare = first_chart.pages(tmp_path, "no-shock")
    with chromium() as browser:
        assert set(first_chart.seen(browser, ours)) == {"still", "alive"}
        assert set(first_chart.seen(browser, bare)) == {"alive"}


def test_a_pulse_out_of_a_file_of_either_kind_has_the_same_energy(tmp_path: Path) -> None:
    """In closed form V² τ (1 − exp(−2T/τ)) / 2R = 1600² × 8 ms × (1 − e⁻³) / 100 Ω: circuit theory, computed."""
    pytest.importorskip("pyarrow")
    found = [long_files.run(place) for place in long_files.write(tmp_path, 20_000)]
    assert all(
        joules == pytest.approx(1600.0**2 * 8e-3 * (1.0 - math.exp(-3.0)) / 100.0, rel=1e-3) for joules, _ in found
    )
    assert all(held > 10 for _, held in found)


def _articles(folder: Path) -> dict[Path, list[str]]:
    """Build a site; the matter of each of its pages, without the mark to skip to, which our plugin gives the theme."""
    process(site.command(folder), folder)
    home = folder / "site"
    return {
        one.relative_to(home): re.findall(
            r"<article.*?</article>", one.read_text("utf-8").replace('<div id="af-content" ', "<div "), re.DOTALL
        )
        for one in home.rglob("*.html")
    }


def test_the_history_and_its_floor_tell_the_same_changes(tmp_path: Path) -> None:
    root = past.make(tmp_path / "made", commits=30, cases=5)
    log = past.ours(root)
    said = past.bare(root)
    assert len(log.commits) == 30 and said.count(b"\n:") + said.count(b"\x00:") == sum(
        len(one.changes) for one in log.commits
    )
    past.followed(root, 3)
    idents = past.versions(log, past.ONE)
    assert len(idents) > 30 and past.composed(root, idents) > 12 * (len(idents) - 10)
    # Twelve records in each of four files, and case.yml; then one record a version.
    changes = past.Chronicle(root).past(past.ONE, f"cases/{past.ONE}").changes
    assert [one.kind for one in changes[:49]] == ["added"] * 49 and {one.kind for one in changes[49:]} == {"changed"}


def test_the_pack_and_its_floor_find_the_same_digests(tmp_path: Path) -> None:
    files = pack.photographs(tmp_path / "set", 3, 50_000)
    assert len({one.read_bytes() for one in files}) == 3
    pack.ours(files, tmp_path / "set.zip")
    found = pack.floor(files, tmp_path / "plain.zip")
    assert pack.checked(tmp_path / "set.zip") == found and len(found) == 3
    data = (tmp_path / "set.zip").read_bytes()
    (tmp_path / "set.zip").write_bytes(data.replace(files[0].read_bytes()[-9:], b"123456789", 1))
    with pytest.raises(ValueError, match=r"set-000\.jpg does not have the CRC"):
        pack.checked(tmp_path / "set.zip")


def test_the_memory_of_packing_and_verifying_is_asked_of_whole_runs(tmp_path: Path) -> None:
    held = pack.peaks(pack.repository(tmp_path / "repository", 2, 16), tmp_path / "out.zip")
    assert set(held) == {"pack", "verify"} and all(one > 10 for one in held.values())


def test_the_version_and_its_floor_run(tmp_path: Path) -> None:
    ours, floor = startup.commands()
    assert process(ours, tmp_path).startswith("asfound ")
    assert process(floor, tmp_path) == ""


def test_works_are_done_in_turn_and_the_first_turn_does_not_count() -> None:
    done: list[str] = []
    ticks = iter([0.0, 9.0, 0.0, 9.0, 0.0, 1.0, 0.0, 2.0, 0.0, 3.0, 0.0, 4.0])
    medians = in_turn([lambda: done.append("a"), lambda: done.append("b")], 2, lambda: next(ticks))
    assert done == ["a", "b"] * 3
    assert medians == [2.0, 3.0]


def test_a_bound_is_kept_up_to_itself() -> None:
    assert Line("", "", 1.5, 1.5, "", "").kept and not Line("", "", 1.51, 1.5, "", "").kept


def test_a_part_nobody_knows_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["no-such-part"]) == 2
    said = capsys.readouterr().err
    assert all(name in said for name in PARTS)


def test_a_peer_that_is_not_there_is_asked_for_before_anything_is_measured(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    assert main(["yaml_files", "readings"]) == 2
    told = capsys.readouterr().err
    assert "pip install -e" in told and "measuring" not in told
