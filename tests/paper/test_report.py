"""The report: whole, self-contained, true to its record, and readable by everybody in the browser."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from importlib import resources
from itertools import pairwise
from pathlib import Path
from shutil import which
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from headrace.design import solve
from headrace.design.bands import Sample
from headrace.design.record import design_record
from headrace.design.workings import headline_workings
from headrace.explore.packs import pack_map
from headrace.explore.record import packs_record
from headrace.findings import RULES
from headrace.machine.draws import draws as drawn
from headrace.paper import words
from headrace.paper.advice import coded, page_of, quoted
from headrace.paper.report import report
from tests.machines import small
from tests.paper.records import record, stalled

DRAWS = 4
MOST_BYTES = 600_000
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
TEXT = re.compile(r"<(style|svg)\b.*?</\1>|<[^>]*>", re.DOTALL)


@cache
def page(**parts: bool) -> str:
    return report(record(**parts))


def said(html: str) -> str:
    """Return what the page says outside its drawings."""
    return " ".join(TEXT.sub(" ", html).replace("&nbsp;", " ").split())


# --- what it holds -------------------------------------------------------------------------------


@pytest.mark.parametrize("draws", [True, False])
@pytest.mark.parametrize("workings", [True, False])
@pytest.mark.parametrize("carries", [True, False])
def test_a_report_is_made_of_whatever_the_record_has(draws: bool, workings: bool, carries: bool) -> None:
    html = page(draws=draws, workings=workings, carries=carries)
    text = said(html)
    assert html.startswith("<!doctype html>")
    assert ("The working" in text) == workings
    assert ("How long it lasts" in text) == carries
    assert ("in 88 % of the draws" in text) == draws
    assert "None" not in text
    assert len(html.encode()) < MOST_BYTES


def test_headlines_have_their_band_beside_them() -> None:
    text = said(page())
    for words_of_it in ("60 min 48 to 75, new pack", "3533 rpm 2827 to 4417, full pack", "1080 Wh 864 to 1350, full"):
        assert words_of_it in text
    assert "60 min new pack" in said(page(draws=False))


def test_findings_stand_with_their_level_at_the_edge_and_what_is_in_order_is_told() -> None:
    html, text = page(), said(page())
    for level in ("stop", "caution", "note"):
        assert f'<div class="finding {level}">' in html
    assert "Winding too hot : stop, in 12 % of the draws" in text
    assert "none of these in any draw: over budget, too heavy." in text
    assert text.index("The blade coasts") < text.index("Where the watts go")


def test_what_carries_the_answer_is_ranked_with_its_basis() -> None:
    text = said(page())
    assert "the blade's windage assumed 61 % ± 10" in unescape(text)
    assert "the job's width given" in unescape(said(page(carries=False)))
    assert text.index("windage assumed") < text.index("capacity measured")
    assert "500 to 800 W" in said(page(carries=False))


def test_every_stop_and_caution_says_what_to_do() -> None:
    held = record()
    stops = [
        {**held["findings"][0], "slug": f"stop-{k}", "says": f"Wrong {k}.", "action": f"Mend {k}."} for k in range(3)
    ]
    held["findings"] = [*stops, {**stops[0], "level": "caution", "says": "Look out.", "action": "Step back."}]
    text = said(report(held))
    for k in range(3):
        assert text.count(f"What to do: Mend {k}.") == 2  # at the head, and where the colleague speaks
    assert text.count("What to do: Step back.") == 1
    assert "Winding too hot : stop, in 12 % of the draws What to do: Rest it." in unescape(text)


def test_shares_say_how_far_they_are_from_sure_and_none_is_clipped() -> None:
    held = record()
    held["carries"]["run_time"][0] |= {"first": 1.06, "total": 1.04, "gap": 0.05}
    text = said(report(held))
    assert "104 % ± 5" in text
    assert "another sample of draws came out from this one, 5 % at most" in text


def test_a_map_in_which_nothing_works_says_what_speaks_against_the_plan() -> None:
    held = record()
    for candidate in held["packs"]["candidates"]:
        candidate |= {"works": False}
        candidate["reasons"] = candidate["reasons"] or [{"slug": "too-heavy", "says": "It is too heavy."}]
    near = {"series": 9, "parallel": 6, "reasons": [{"says": "A little slow."}], "says": "Change the ratio."}
    held["packs"] |= {"smallest": None, "steps_down": [], "lessons": [], "planned": {"series": 10, "parallel": 6}}
    held["packs"]["nearest"] = near
    text = said(report(held))
    assert "Against the planned 10s6p speaks: It is too heavy." in text
    assert "What misses by least is 9s6p: A little slow. Change the ratio." in text


def test_the_page_says_how_many_draws_a_stop_holds_up_and_which_packs_work_most_often() -> None:
    text = said(report(record()))
    assert "Of 8 machines drawn from the bands of the numbers 75 % have a stop, as the typical machine has." in text
    assert "Works most often: 10s6p, 75 % of the draws." in text
    assert "each pack of the map 8 draws" in text
    assert "Works most often" not in said(report(record(draws=False)))


def test_what_is_typed_is_set_as_code_and_no_mark_of_a_docstring_is_left() -> None:
    assert coded('write ``a = "<b>"`` in') == "write <code>a = &#34;&lt;b&gt;&#34;</code> in"
    assert quoted("as ``too-short-new``, with") == "as 'too-short-new', with"
    for slug, rule in RULES.items():
        assert "``" not in quoted(rule.page)
        assert "``" not in coded(rule.page)
        assert page_of(rule).to_do.endswith("."), slug
        assert "What is compared" not in page_of(rule).to_do


def test_addresses_break_after_dots_and_underscores_only() -> None:
    html = page()
    assert "chains.<wbr>blade.<wbr>controller.<wbr>cut_<wbr>out <span" in html
    held = record()
    held["numbers"][0]["source"] = "A Library, Tubes.Material.Magnets"
    assert "Tubes.<wbr>Material.<wbr>Magnets</span>" in report(held)
    assert "anywhere" not in html


def test_a_formula_is_followed_by_a_comma_only_where_more_follows() -> None:
    held = record()
    assert "energy of" in said(report(held))
    held["workings"]["pack.energy_J"]["title"] = "energy"  # then there is nothing to say after the formula
    assert ", <span" not in (tail := report(held).partition('class="formula"')[2].partition("<ul>")[0])
    assert '<span class="soft">,</span>' not in tail


def test_the_report_says_no_power_the_record_lacks() -> None:
    held = record()

    def numbers(data: Any) -> Iterator[float]:
        if isinstance(data, dict | list):
            for part in data.values() if isinstance(data, dict) else data:
                yield from numbers(part)
        elif isinstance(data, float):
            yield data

    known = {words.watts(number) for number in numbers({**held, "trace": {}})}
    text = re.sub(r"(\d+) to (\d+ W)", r"\1 W to \2", said(page(carries=False)))
    assert set(re.findall(r"[\d.]+ W\b", text)) <= known


def test_both_ways_of_the_course_stand_in_the_page_for_every_state_that_turns() -> None:
    html = page()
    assert html.count('class="course lying"') == html.count('class="course upright"') == 2
    held = record()
    held["losses"]["states"][0] = stalled("grass")
    assert report(held).count('class="course upright"') == 1
    assert "the motor cannot turn" in report(held)


def test_each_chain_has_its_own_courses() -> None:
    held = record()
    states = held["losses"]["states"]
    held["losses"]["chains"] = [{"name": "blade", "states": states}, {"name": "wheels", "states": states}]
    html = report(held)
    assert html.count('class="course lying"') == 4
    assert "<h3>wheels</h3>" in html


# --- its form ------------------------------------------------------------------------------------


def test_nothing_is_fetched_and_nothing_runs() -> None:
    html = page()
    assert not re.search(r"<(script|link|img|iframe|object)\b|@import|\bsrc=|https?:", html)
    assert all(target.startswith(("#", '"data:')) for target in re.findall(r"url\(([^)]*)\)|href=\"", html) if target)
    assert html.count("@font-face") == 4


def test_every_drawing_says_what_it_shows_or_is_hidden_from_who_listens() -> None:
    for opening, first in re.findall(r"(<svg[^>]*>)(<\w+>)?", page()):
        assert ('role="img"' in opening and first == "<title>") or 'aria-hidden="true"' in opening


def test_headings_go_down_one_at_a_time_and_tables_have_scopes() -> None:
    html = page()
    levels = [int(level) for level in re.findall(r"<h(\d)", html)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert all("scope=" in opening for opening in re.findall(r"<th\b[^>]*>", html))


def tones(css: str) -> list[dict[str, str]]:
    """Return the tones of light, dark and print."""
    return [dict(re.findall(r"--(\w+):(#\w+)", block)) for block in re.findall(r":root \{([^}]*)\}", css)]


def luminance(tone: str) -> float:
    if len(tone) == 4:
        tone = "#" + "".join(2 * digit for digit in tone[1:])
    parts = [int(tone[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_every_pair_of_tones_that_is_read_has_contrast_enough() -> None:
    """WCAG 2.2, 1.4.3 (text: 4.5) and 1.4.11 (marks: 3.0); the drawings' letters are out of axe's reach."""
    found = tones(page())
    assert len(found) == 3
    text = [("ink", "paper"), ("soft", "paper"), ("heat", "paper"), ("paper", "work"), ("paper", "ink")]
    text.append(("ink", "water"))
    for tone in found:
        for front, ground in text:
            light, dark = sorted((luminance(tone[front]), luminance(tone[ground])), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 4.5, (front, ground, tone)


# --- in the browser ------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a real design, drawn a few times."""
    out, plan = tmp_path_factory.mktemp("report"), small()
    held = {
        **design_record(solve(drawn(plan, DRAWS, 1)), (), Sample(DRAWS, 1)),
        "packs": packs_record(pack_map(plan)),
        "workings": headline_workings(solve(plan)),
    }
    (out / "results.json").write_text(json.dumps(held), encoding="utf-8")
    (out / "report.html").write_text(report(json.loads(json.dumps(held))), encoding="utf-8")
    (out / "invented.html").write_text(page(), encoding="utf-8")
    return out


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as player:
        chromium = player.chromium.launch(executable_path=which("chromium"), args=list(FLAGS))
        yield chromium
        chromium.close()


def opened(browser: Browser, file: Path, width: int, scheme: Any, *, unfolded: bool = False) -> Page:
    """Return a report as a page that has fetched nothing but itself."""
    asked: list[str] = []
    sheet = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    sheet.on("request", lambda request: asked.append(request.url))
    sheet.goto(file.as_uri())
    sheet.evaluate("document.fonts.ready")
    if unfolded:
        sheet.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    assert [url for url in asked if not url.startswith("data:")] == [file.as_uri()]
    return sheet


def test_the_report_of_a_real_design_is_true_to_its_record_and_small(answer: Path) -> None:
    held = json.loads((answer / "results.json").read_text(encoding="utf-8"))
    html = (answer / "report.html").read_text(encoding="utf-8")
    assert html == report(held)
    assert len(html.encode()) < MOST_BYTES
    for state in held["losses"]["states"]:
        for link in state["links"]:
            assert f">{words.watts(words.middle(link['loss_W']))}<" in html
    assert all(finding["says"] in unescape(html) for finding in held["findings"])


@pytest.mark.needs("chromium")
@pytest.mark.parametrize(
    ("name", "width", "scheme"),
    [("report", 1280, "light"), ("invented", 1280, "dark"), ("invented", 390, "light"), ("invented", 390, "dark")],
)
def test_nobody_is_shut_out(browser: Browser, answer: Path, name: str, width: int, scheme: str) -> None:
    # a real report has thousands of lines under its folds, so they are opened in the small one
    sheet = opened(browser, answer / f"{name}.html", width, scheme, unfolded=name == "invented")
    sheet.evaluate((resources.files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8"))
    found = sheet.evaluate("axe.run()")["violations"]
    assert [(rule["id"], rule["nodes"][0]["html"]) for rule in found] == []
    sheet.close()


@pytest.mark.needs("chromium")
@pytest.mark.parametrize("width", [1280, 768, 390, 360])
def test_nothing_scrolls_sideways_and_one_way_of_the_course_shows(browser: Browser, answer: Path, width: int) -> None:
    sheet = opened(browser, answer / "report.html", width, "light", unfolded=True)
    assert sheet.evaluate("document.documentElement.scrollWidth <= innerWidth")
    shown = {way: sheet.locator(f".{way} >> visible=true").count() for way in ("lying", "upright")}
    # three courses and the wiring diagram
    assert (shown["lying"], shown["upright"]) == ((4, 0) if width > 960 else (0, 4))
    sizes = sheet.evaluate(
        "[...document.querySelectorAll('svg text')].filter(t => t.checkVisibility() && t.getBBox().width)"
        ".map(t => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().d).filter(size => size > 0)"
    )
    assert min(sizes) > 10.0
    sheet.close()


@pytest.mark.needs("chromium")
def test_the_letters_are_the_pages_own_and_follow_the_light(browser: Browser, answer: Path) -> None:
    grounds = []
    for scheme in ("light", "dark"):
        sheet = opened(browser, answer / "report.html", 1280, scheme)
        assert set(sheet.evaluate("[...document.fonts].map(font => font.status)")) <= {"loaded", "unloaded"}
        assert sheet.evaluate("document.fonts.check('16px \"headrace sans\"')")
        grounds.append(sheet.evaluate("getComputedStyle(document.body).backgroundColor"))
        ink = sheet.evaluate("getComputedStyle(document.querySelector('.chart .stroke-ink')).stroke")
        assert ink == sheet.evaluate("getComputedStyle(document.body).color")
        sheet.close()
    assert grounds[0] != grounds[1]


@pytest.mark.needs("chromium")
@pytest.mark.parametrize(("paper", "long", "short"), [("A4", 841.9, 595.3), ("Letter", 792.0, 612.0)])
def test_it_prints_on_lying_sheets_and_no_drawing_is_cut(
    browser: Browser, answer: Path, paper: str, long: float, short: float
) -> None:
    sheet = opened(browser, answer / "report.html", 1280, "dark")
    printed = sheet.pdf(format=paper, landscape=True, prefer_css_page_size=True, print_background=True)
    boxes = {tuple(map(float, box.split())) for box in re.findall(rb"/MediaBox \[([^\]]*)\]", printed)}
    assert [box[2:] for box in boxes] == [pytest.approx((long, short), abs=1.5)]
    assert len(printed) < 1_000_000  # hatching stays strokes
    sheet.emulate_media(media="print")
    sheet.set_viewport_size({"width": int((long - 68.0) / 0.75), "height": 900})  # less the margins, in px
    tallest = sheet.evaluate(
        "Math.max(...[...document.querySelectorAll('svg')].map(s => s.getBoundingClientRect().height))"
    )
    assert tallest < (short - 62.0) / 0.75
    sheet.close()
