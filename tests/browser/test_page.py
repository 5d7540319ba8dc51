"""What a fabricator does on the page, from nothing to what is printed, in a real browser."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
from pathlib import Path

import pytest
from axe_selenium_python import Axe
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from browser.conftest import PATTERNS
from browser.looking import Looking
from platewright.files.reader import load_job
from platewright.geometry.space import Point3
from platewright.page.picture import picture
from platewright.plate.place import place

#: Least size of what a thumb touches, px (WCAG 2.2, 2.5.5 target size, enhanced).
THUMB = 44


def test_a_new_bracket_from_nothing_to_its_files(page: Looking, folder: Path, tmp_path: Path):
    page.open("")
    page.put(page.find("#new-name"), "fender-zee")
    page.click('#new button[value="zee"]')
    page.wait(lambda: page.js("return document.body.dataset.name") == "fender-zee.toml")
    page.wait(page.outline)
    assert page.text("#standing") == "new, not saved yet"
    examples = "return [...document.querySelectorAll('.example')].map((e) => e.dataset.key)"
    assert {"web", "width"} <= set(page.js(examples))
    page.type("web", "2 1/4")
    page.type("width", "3 1/2")
    assert not {"web", "width"} & set(page.js(examples))
    page.click("#save")
    page.wait(lambda: page.text("#standing") == "saved")
    page.click("#make")
    page.wait(lambda: page.js("return document.querySelectorAll('#made a').length"))
    assert "100 %" in page.text("#made")
    links = page.js("return [...document.querySelectorAll('#made a')].map((each) => each.href)")
    made = {link.split("?")[0].rpartition("/")[2]: page.fetched(link) for link in links}
    make = [sys.executable, "-m", "platewright", "make", str(folder / "fender-zee.toml")]
    subprocess.run([*make, "--out", str(tmp_path), "--torch", "--svg"], check=True)
    commands = {each.name: each.read_bytes() for each in tmp_path.iterdir() if each.is_file()}
    assert {"fender-zee-template.pdf", "fender-zee.dxf", "fender-zee-check.pdf"} <= made.keys()
    assert made == {name: commands[name] for name in made}


def test_every_change_shows_at_once_with_old_and_new(page: Looking):
    page.bracket("spring-seat.toml")
    before = page.outline()
    page.type("wall_gap", "1 1/2")
    assert page.outline() != before
    assert "1 1/2" in page.text("#changed")
    assert page.text("#standing") == "changed, not saved yet"
    page.click("#compare")
    page.wait(lambda: "wall" in page.text("#compared"))
    page.click("#undo")
    page.wait(lambda: page.outline() == before)


def test_a_wrong_value_says_so_at_its_field_and_the_picture_stays(page: Looking):
    page.bracket("spring-seat.toml")
    before = page.outline()
    page.type("clearance", "half")
    assert page.message("clearance")
    assert page.field("clearance").get_attribute("aria-invalid") == "true"
    assert "last bracket that could be made" in page.text("#stale")
    assert page.outline() == before
    page.type("clearance", "5/8")
    assert page.message("clearance") == ""
    assert not page.find("#stale").is_displayed()
    assert page.outline() != before


def test_a_letter_lights_its_field_and_its_places_and_back(page: Looking):
    page.bracket("spring-seat.toml")
    page.field("wall_gap").click()
    assert page.js("return document.querySelector('.stand.lit').dataset.key") == "wall_gap"
    assert page.js("return document.querySelectorAll('.stand.lit .end').length") == 2
    assert page.js("return document.querySelector('.field.lit').dataset.key") == "wall_gap"
    page.js("window.scrollTo(0, 0)")
    page.find('.stand[data-key="left.depth"] .bubble text').click()
    assert page.js("return document.querySelector('.field.lit').dataset.key") == "left.depth"
    assert page.js("return document.activeElement.id") == "f-left.depth"
    form = page.js(
        "return [...document.querySelectorAll('#measure .field .letter')]"
        ".map((each) => each.textContent).filter(Boolean)"
    )
    shown = page.js(
        "return [...document.querySelectorAll('#flat .bubble text')].map((e) => e.textContent)"
    )
    assert set(shown) <= set(form)
    assert len(shown) == len(set(shown)) > 15


def test_the_slider_folds_the_bracket_and_dragging_turns_it(page: Looking):
    page.bracket("spring-seat.toml")
    picture = "return document.querySelector('#folded').toDataURL()"
    slider = page.find("#amount")
    seen = [page.wait(lambda: page.js(picture))]
    slider.send_keys(Keys.HOME)
    assert page.text("#folded-words") == "flat"
    page.wait(lambda: page.js(picture) != seen[-1])
    seen.append(page.js(picture))
    for _ in range(5):
        slider.send_keys(Keys.PAGE_UP)
    assert page.text("#folded-words") == "bend 1: 45°, bend 2: 45°"
    page.wait(lambda: page.js(picture) != seen[-1])
    seen.append(page.js(picture))
    ActionChains(page.driver).drag_and_drop_by_offset(page.find("#folded"), 80, 20).perform()
    page.wait(lambda: page.js(picture) != seen[-1])
    seen.append(page.js(picture))
    page.find("#folded").send_keys(Keys.ARROW_LEFT)
    page.wait(lambda: page.js(picture) != seen[-1])
    assert len(set(seen)) == 4


@pytest.mark.parametrize("file", ["spring-seat", "hose-guide", "tank-strap"])
def test_the_script_folds_as_the_sheets_do(page: Looking, file: str):
    """Panel by panel the frames of `place`, which the blank and all findings are made by."""
    (part,) = load_job(PATTERNS / f"{file}.toml").parts
    told = picture(part.pieces[0])["fold"]
    page.open("")
    for amount in (0.0, 0.07, 0.5, 0.93, 1.0):
        frames = page.driver.execute_async_script(
            "const [fold, amount, done] = arguments;"
            "import(`${document.body.dataset.base}/static/fold.js`)"
            ".then((script) => done(script.placesAt(fold, amount)))",
            told,
            amount,
        )
        for frame, placed in zip(frames, place(part.bracket, amount), strict=True):
            for at in (Point3(0, 0, 0), Point3(120, -40, -4)):
                there = placed.world_from_panel.point3(at)
                own = [
                    frame[9 + k] + at.x * frame[k] + at.y * frame[3 + k] + at.z * frame[6 + k]
                    for k in range(3)
                ]
                assert own == pytest.approx([there.x, there.y, there.z], abs=2e-3)


def test_where_the_body_is_rubbed_is_marked_with_the_angle(page: Looking):
    page.bracket("spring-seat.toml")
    assert page.text("#touches") == ""
    page.type("right.from_centre", "2 3/4")
    assert "right gusset rubs on the body: from 90° of bend 2 on" in page.text("#touches")
    page.find("#amount").send_keys(Keys.HOME)
    assert page.text("#touches") == ""


def test_an_edge_is_scribed_by_pointing_at_it(page: Looking):
    page.bracket("spring-seat.toml")
    before = page.outline()
    page.js("document.querySelector('[data-section=scribe]').open = true")
    page.click('[data-rows="scribe"] .add')
    page.field("scribe[1].readings")
    page.click('[data-key="scribe[1].edge"] .point')
    edge = page.find('#flat .choice[data-edge="wall edge"]')
    page.js("arguments[0].dispatchEvent(new MouseEvent('click', {bubbles: true}))", edge)
    page.wait(lambda: page.field("scribe[1].edge").get_attribute("value") == "wall edge")
    page.type("scribe[1].zero_at", "left side")
    page.type("scribe[1].hold_off", "1")
    page.type("scribe[1].readings", "1, 1\n3, 7/8\n5, 1")
    page.wait(lambda: page.outline() != before)
    assert page.message("scribe[1].readings") == ""
    page.wait(lambda: "[[scribe]]" in page.js("return document.querySelector('#text').value"))
    page.click('[data-rows="scribe"] .remove')
    page.wait(lambda: page.outline() == before)


def test_a_hole_is_added_as_a_row(page: Looking):
    page.bracket("deck-zee.toml")
    page.js("document.querySelector('[data-section=hole]').open = true")
    page.click('[data-rows="hole"] > .add')
    page.type("hole[1].size", "1/4")
    for number, distance in enumerate(("1", "1"), 1):  # both rows stand there from the start
        names = page.js(
            "return [...arguments[0].options].map((each) => each.value).filter(Boolean)",
            page.field(f"hole[1].measured_from[{number}].edge"),
        )
        assert names, "the edges to measure from are offered"
        page.type(f"hole[1].measured_from[{number}].edge", names[(number - 1) % len(names)])
        page.type(f"hole[1].measured_from[{number}].distance", distance)
    assert page.message("hole[1].measured_from[2].edge") == ""


def test_a_bend_is_not_offered_where_a_free_edge_is_wanted(page: Looking):
    page.bracket("deck-zee.toml")
    offered = "return [...document.querySelectorAll('#flat .choice')].map((e) => e.dataset.edge)"
    page.js("document.querySelector('[data-section=trim]').open = true")
    page.click('[data-rows="trim"] > .add')
    panels = page.js("return JSON.parse(document.querySelector('#state').textContent).panels")
    for panel in panels:
        page.type("trim[1].panel", panel["name"])
        page.click('[data-key="trim[1].edge"] .point')
        assert set(page.js(offered)) == set(panel["edges"]) - set(panel["bent"])
        page.press(Keys.ESCAPE)
    assert all(panel["bent"] for panel in panels)


def test_the_other_hand_and_the_underside_have_their_letters(page: Looking, folder: Path):
    page.bracket("winch-angle.toml")
    letters = (
        "return [...document.querySelectorAll('#flat .bubble text')]"
        ".map((each) => each.textContent).sort()"
    )
    grooves = "return document.querySelectorAll('#flat .bend.scored').length"
    left, shown = page.outline(), page.js(letters)
    assert page.js(grooves) == 0
    page.click('[data-hand="1"]')
    right = page.outline()
    assert right != left
    assert page.js(letters) == shown
    assert page.js(grooves) == 0
    page.click('[data-face="underside"]')
    assert page.outline() == left, "turned over, the right hand has the outline of the left one"
    assert page.js(letters) == shown
    assert page.js(grooves) == 2
    page.click('[data-hand="0"]')
    assert page.outline() == right


def test_readings_come_back_and_mean_something(page: Looking, folder: Path):
    page.bracket("spring-seat.toml")
    page.click("#read-begin")
    page.wait(lambda: page.js("return document.querySelectorAll('#readings input').length > 10"))
    field = page.find("#readings input")
    field.click()
    assert page.js("return document.querySelectorAll('.stand.lit .end').length") == 2
    page.put(field, "5 1/2")
    page.wait(lambda: "5 1/2" in page.text("#diagnosis"))
    page.put(field, "five")
    page.wait(lambda: field.get_attribute("aria-invalid") == "true")
    page.put(field, "4 1/4")
    page.wait(lambda: field.get_attribute("aria-invalid") == "false")
    page.click("#read-save")
    page.wait(lambda: (folder / "spring-seat-readings.toml").exists())


def test_a_file_that_changed_on_the_disk_is_never_written_over_unseen(page: Looking, folder: Path):
    page.expected = {409}
    file = folder / "tank-strap.toml"
    page.bracket("tank-strap.toml")
    page.type("width", "45")
    theirs = file.read_text().replace('name  = "tank-strap"', 'name  = "tank-strap" # theirs')
    file.write_text(theirs)
    page.click("#save")
    page.wait(lambda: page.find("#conflict").is_displayed())
    assert "theirs" in page.text("#difference .disk")
    assert "45" in page.text("#difference")
    page.click("#neither")
    assert file.read_text() == theirs
    page.click("#save")
    page.wait(lambda: page.find("#conflict").is_displayed())
    page.click("#keep-mine")
    page.wait(lambda: page.text("#standing") == "saved")
    assert re.search(r'^width\s*= "?45', file.read_text(), re.MULTILINE)
    assert "theirs" not in file.read_text()


def test_unsaved_work_survives_a_reload_and_a_lost_draft(page: Looking):
    page.bracket("deck-zee.toml")
    page.type("web", "2 5/8")
    page.driver.refresh()
    page.wait(lambda: page.js("return document.body.dataset.revision"))
    assert page.field("web").get_attribute("value") == "2 5/8"
    kept = "return localStorage.getItem('platewright deck-zee.toml')"
    text = page.wait(lambda: page.js(kept))
    page.click("#discard")
    page.wait(lambda: page.text("#standing") == "saved")
    page.open("nest")  # away from the page that keeps it
    page.js("localStorage.setItem('platewright deck-zee.toml', arguments[0])", text)
    for _ in range(2):  # it is offered until it is taken up or dropped
        page.bracket("deck-zee.toml")
        page.wait(lambda: page.find("#kept").is_displayed())
    page.click("#take-up")
    page.wait(lambda: page.field("web").get_attribute("value") == "2 5/8")
    page.bracket("deck-zee.toml")


def test_a_suspension_at_any_height(page: Looking):
    page.open("setup/travel-trailing-arm.toml")
    side = "return document.querySelector('#side').innerHTML"
    page.wait(lambda: "<svg" in page.js(side))
    assert "<svg" in page.js("return document.querySelector('#curves').innerHTML")
    at_ride, words = page.js(side), page.text("#lift-words")
    assert words == "lift 4.00 in: ride"
    for _ in range(2):
        page.find("#lift").send_keys(Keys.PAGE_DOWN)
    page.wait(lambda: page.js(side) != at_ride)
    page.wait(lambda: page.text("#lift-words") != words)


def test_a_suspension_is_saved_under_another_name(page: Looking, folder: Path):
    page.open("setup/travel-trailing-arm.toml")
    page.click("#save-as")
    page.put(page.find("#other-name"), "other-arm")
    page.click("#naming-do")
    page.wait(lambda: page.js("return document.body.dataset.name") == "other-arm.toml")
    assert (folder / "other-arm.toml").read_text() == (
        folder / "travel-trailing-arm.toml"
    ).read_text()


def test_a_readings_file_leads_to_the_readings_of_its_bracket(page: Looking):
    page.open("readings/winch-angle-left-readings.toml")
    page.wait(lambda: page.js("return document.querySelectorAll('#readings input').length"))
    assert page.js("return document.body.dataset.name") == "winch-angle.toml"
    assert page.text("#read-standing") == "winch-angle-left-readings.toml: saved"


def test_the_folders_parts_are_laid_on_a_sheet(page: Looking):
    page.open("nest")
    page.js(
        "document.querySelectorAll('[name=file]').forEach((each) => {"
        " each.checked = ['deck-zee.toml', 'spring-seat-travel.toml'].includes(each.value); })"
    )
    page.put(page.find("#tries"), "1")
    page.click("#begin")
    page.wait(lambda: page.js("return document.querySelectorAll('#made a').length"))
    assert page.text("#words") == "Laid."
    assert "nest" in page.text("#made")


def test_what_a_file_says_is_words_and_never_a_part_of_the_page(page: Looking, folder: Path):
    text = (PATTERNS / "hose-guide.toml").read_text()
    text = text.replace('"base"', "'<i id=in>base</i>'").replace("hose-guide", "hostile")
    (folder / "hostile.toml").write_text(text)
    page.bracket("hostile.toml")
    page.wait(page.outline)
    assert "<i id=in>base</i>" in page.js("return document.body.textContent")
    assert page.js("return document.querySelector('#in')") is None


def test_a_burst_of_typing_never_queues_up(page: Looking):
    page.bracket("spring-seat.toml")
    page.js("performance.clearResourceTimings()")
    before = page.serial()
    field = page.field("plate_diameter")
    field.send_keys(Keys.CONTROL, "a")
    for letter in "5.123456789012345":
        field.send_keys(letter)
    page.answered(before)
    assert page.js("return document.querySelector('#f-plate_diameter').value") == (
        "5.123456789012345"
    )
    spans = page.js(
        "return performance.getEntriesByType('resource').filter((e) => e.name.includes('/draft/'))"
        ".map((e) => [e.startTime, e.responseEnd]).sort((a, b) => a[0] - b[0])"
    )
    assert spans
    assert all(one[1] <= other[0] for one, other in itertools.pairwise(spans))


def test_all_of_it_by_the_keyboard_alone(page: Looking, folder: Path):
    page.bracket("hose-guide.toml")
    met = set()
    for _ in range(40):
        page.press(Keys.TAB)
        met.add(page.js("return document.activeElement.id"))
        if "f-drawn_to" in met:
            break
    assert {"amount", "folded", "f-drawn_to"} <= met
    # letters of the picture: one stop, then arrow keys, Enter goes to the field
    page.js("document.querySelector('#flat .bubble').focus()")
    page.press(Keys.ARROW_RIGHT)
    lit = page.js("return document.querySelector('.stand.lit').dataset.key")
    page.press(Keys.ENTER)
    assert page.js("return document.activeElement.id") == f"f-{lit}"
    # an edge of the picture
    page.js("document.querySelector('[data-section=trim]').open = true")
    page.js("document.querySelector('[data-rows=\"trim\"] .add').focus()")
    page.press(Keys.ENTER)
    page.wait(lambda: page.js("return document.activeElement.id") == "f-trim[1].panel")
    page.js("document.querySelector('[data-key=\"trim[1].edge\"] .point').focus()")
    page.press(Keys.ENTER)
    page.wait(lambda: page.js("return document.activeElement.classList.contains('choice')"))
    page.press(Keys.ARROW_RIGHT)
    words = page.js("return document.activeElement.getAttribute('data-edge')")
    page.press(Keys.ENTER)
    page.wait(lambda: page.js("return document.activeElement.id") == "f-trim[1].edge")
    assert page.js("return document.activeElement.value") == words
    page.type("trim[1].by", "1 mm")
    page.press("s", held=Keys.CONTROL)
    page.wait(lambda: page.text("#standing") == "saved")
    assert "[[trim]]" in (folder / "hose-guide.toml").read_text()


def test_a_phone_shows_all_of_it_to_a_thumb(page: Looking):
    page.resize(360, 740)
    page.bracket("spring-seat.toml")
    for path in (
        "",
        "nest",
        "bracket/spring-seat.toml",
        "setup/travel-trailing-arm.toml",
        "shop/shop.toml",
    ):
        page.open(path)
        assert page.js("return document.documentElement.scrollWidth") <= 360, path
        small = page.js(
            "return [...document.querySelectorAll('button, input:not([type=checkbox]), select,"
            " textarea, summary')]"
            ".filter((each) => each.checkVisibility() && each.type !== 'range')"
            ".filter((each) => each.getBoundingClientRect().height < arguments[0] - 0.5)"
            ".map((each) => each.outerHTML.slice(0, 80))",
            THUMB,
        )
        assert small == [], path
    page.bracket("spring-seat.toml")
    page.field("left.depth").click()
    page.wait(lambda: page.js("return document.body.classList.contains('typing')"))
    both = page.js(
        "const seen = (e) => e.getBoundingClientRect();"
        "const picture = seen(document.querySelector('#pictures')),"
        " field = seen(document.activeElement);"
        "return picture.bottom <= field.top && field.bottom <= innerHeight && picture.top >= 0"
    )
    assert both
    assert page.text("#flat .stand.lit .bubble text")


@pytest.mark.parametrize("width", [1280, 360])
@pytest.mark.parametrize(
    "path",
    ["", "nest", "bracket/spring-seat.toml", "setup/travel-trailing-arm.toml", "shop/shop.toml"],
)
def test_nothing_stands_in_anybodys_way(page: Looking, path: str, width: int):
    """WCAG 2.2 AA (W3C Recommendation, 5 October 2023) as axe-core judges it."""
    page.resize(width, 800)
    page.open(path)
    if path.startswith("bracket"):
        page.bracket("spring-seat.toml")
        page.js("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
        page.click('[data-rows="hole"] > .add')
        page.type("clearance", "half")
    axe = Axe(page.driver)
    axe.inject()
    assert _judged(axe) == []
    if path.startswith("bracket"):
        page.click("#save-as")
        assert _judged(axe) == []


def _judged(axe: Axe) -> list[tuple[str, list[str]]]:
    rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    # of what is in order a node of each rule is told, not thousands
    options = {"runOnly": {"type": "tag", "values": rules}, "resultTypes": ["violations"]}
    found = axe.run(options=options)["violations"]
    return [(each["id"], [node["html"][:90] for node in each["nodes"][:3]]) for each in found]
