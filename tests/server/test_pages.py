"""The pages as bytes: who may see them, what a form does, which headers they have. Looks are the browser's tests."""

from __future__ import annotations

from urllib.parse import quote

import pytest

from shared_models.vocabulary import Role
from tests.builders import FieldPhone
from tests.server.running import RunningServer

EVIL = "<script>alert(1)</script>\"'&"


class Browser:
    """A browser without script: it follows redirections, keeps cookies and sends forms with their origin."""

    def __init__(self, server: RunningServer) -> None:
        self.http = server.stranger().http
        self.http.follow_redirects = True
        self.origin = server.url

    def open(self, path: str):
        """Open a page."""
        return self.http.get(path)

    def send(self, code: str, name: str = "Ada", **headers: str):
        """Send the form of the page /connect."""
        return self.http.post(
            "/connect", data={"code": code, "name": name}, headers={"Origin": self.origin, **headers}
        )


@pytest.fixture
def browser(server: RunningServer) -> Browser:
    return Browser(server)


@pytest.fixture
def season(keeper):
    phone = FieldPhone()
    garden = phone.garden(f"Hill {EVIL}"[:60])
    tree = phone.tree(garden, EVIL)
    visit = phone.visit(tree)
    keeper.push(
        [garden, tree, phone.graft(tree, EVIL), visit, phone.mark(visit, "sting"), phone.untreated(tree)]
    )
    return phone


def is_a_safe_page(answer) -> bool:
    """Whether a page has the headers that every page has."""
    policy = answer.headers["content-security-policy"]
    wanted = ("default-src 'self'", "object-src 'none'", "base-uri 'none'", "frame-ancestors 'none'")
    return (
        answer.headers["cache-control"] == "no-store"
        and answer.headers["x-content-type-options"] == "nosniff"
        and all(part in policy for part in wanted)
        and "unsafe" not in policy
        and "<script" not in answer.text.lower()
    )


@pytest.mark.parametrize("path", ["/", "/season", "/season/2026", "/season/nonsense"])
def test_without_a_connection_a_page_says_how_to_connect(browser, path: str):
    answer = browser.open(path)
    assert answer.status_code == 401
    assert "Ask your coordinator for a one-time code" in answer.text and 'href="/connect"' in answer.text
    assert is_a_safe_page(answer)


@pytest.mark.parametrize("role", list(Role))
def test_a_browser_is_connected_by_a_code_and_reads_the_season(server, hill, browser, season, role: Role):
    code = server.code(hill, role)
    form = browser.open(f"/connect?code={quote(code)}")
    assert f'value="{code}"' in form.text
    assert f"a device of the group “{hill.name}”, as a {role.value}" in form.text
    answer = browser.send(code)
    assert (answer.status_code, answer.url.path) == (200, "/season")
    assert 'href="/season/2026"' in answer.text
    page = browser.open("/season/2026")
    assert page.status_code == 200 and "1 of 1 damaged" in page.text
    assert all(is_a_safe_page(one) for one in (form, answer, page))


def test_looking_at_the_form_uses_no_code(server, hill, browser):
    code = server.code(hill)
    for _ in range(3):
        assert browser.open(f"/connect?code={code}").status_code == 200
    assert browser.send(code).status_code == 200


def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites(server, hill, browser):
    browser.http.follow_redirects = False
    cookie = browser.send(server.code(hill)).headers["set-cookie"]
    parts = {part.strip().lower() for part in cookie.split(";")}
    assert {"httponly", "samesite=lax", "path=/"} <= parts
    assert "secure" not in parts, "there is no TLS on loopback"


@pytest.mark.parametrize("origin", ["https://elsewhere.example", "null", "", "http://127.0.0.1"])
def test_a_form_of_another_site_changes_nothing(server, hill, browser, origin: str):
    code = server.code(hill)
    answer = browser.send(code, Origin=origin)
    assert answer.status_code == 400
    assert server.services.connecting.devices(hill) == []
    assert browser.send(code).status_code == 200, "the code was not used"


def test_a_form_without_an_origin_changes_nothing(server, hill, browser):
    answer = browser.http.post("/connect", data={"code": server.code(hill)})
    assert answer.status_code == 400
    assert server.services.connecting.devices(hill) == []


def test_a_wrong_code_shows_the_form_again_and_sets_no_cookie(browser):
    for answer in (
        browser.send("0000-0000-00000"),
        browser.open("/connect?code=0000-0000-00000"),
        browser.send("x"),
    ):
        assert answer.status_code == 403
        assert "This code cannot be used" in answer.text and "<form" in answer.text
    assert not browser.http.cookies


def test_a_browser_is_a_device_that_can_be_disconnected(server, hill, browser):
    browser.send(server.code(hill, Role.VIEWER), name="Ada")
    (device,) = server.services.connecting.devices(hill)
    assert (device.device_name, device.person_name, device.role) == ("browser", "Ada", Role.VIEWER)
    server.services.connecting.revoke(hill, device.id, "tests")
    assert browser.open("/season").status_code == 401


def test_the_cookie_of_a_browser_is_no_token_for_the_api(server, hill, browser):
    browser.send(server.code(hill))
    assert browser.open("/api/v1/entries").status_code == 401


def test_the_token_of_a_phone_opens_no_page(keeper):
    assert keeper.http.get("/season").status_code == 401


def test_names_are_shown_as_they_are_and_do_nothing(server, hill, browser, season):
    browser.send(server.code(hill), name=EVIL)
    page = browser.open("/season/2026")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page.text
    assert is_a_safe_page(page)
    assert is_a_safe_page(browser.open(f"/connect?code={quote(EVIL)}"))
    assert is_a_safe_page(browser.open(f"/{quote(EVIL)}"))


def test_tables_say_what_they_are_and_what_their_headings_head(server, hill, browser, season):
    browser.send(server.code(hill))
    text = browser.open("/season/2026").text
    assert text.count("<table ") == text.count("<caption>") == text.count("</table>") > 1
    assert text.count("<th ") == text.count("<th scope=")
    assert "<th>" not in text


def test_a_key_that_names_no_season_is_a_page_with_a_sentence(server, hill, browser):
    browser.send(server.code(hill))
    answer = browser.open("/season/last")
    assert answer.status_code == 400
    assert "names no season" in answer.text and is_a_safe_page(answer)


def test_a_group_without_records_is_told_what_to_do(server, hill, browser):
    browser.send(server.code(hill))
    assert "Nothing has been shared yet" in browser.open("/season").text


def test_the_style_sheet_is_there_for_everybody(browser):
    answer = browser.open("/static/pomeward.css")
    assert answer.status_code == 200 and "prefers-color-scheme: dark" in answer.text


@pytest.mark.parametrize("path", ["/static/../pages.py", "/static/%2e%2e/pages.py", "/static//etc/passwd"])
def test_nothing_but_the_static_folder_is_given_out(browser, path: str):
    assert browser.open(path).status_code == 404
