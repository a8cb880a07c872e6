"""A page as the renderer takes it: read as XML, told apart when it is none, styled by the few rules HTML brings along."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from reports import leaf, press, setting
from reports.book import make
from tests.reports import sample


@pytest.fixture
def pages(tmp_path: Path, photos: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The pages of the sample book as they came to be set."""
    found: list[str] = []
    lay_out = setting.lay_out

    def noted(key: str, html: str, *rest: Any) -> Any:
        found.append(html)
        return lay_out(key, html, *rest)

    monkeypatch.setattr(setting, "lay_out", noted)
    monkeypatch.setattr(press, "LARGE", 10**9)
    make(sample.document(), sample.ANSWER, sample.VOCABULARY, photos, tmp_path / "book", site=False)
    return found


def test_every_page_is_xml(pages: list[str]) -> None:
    for page in pages:
        assert leaf.read(page) is not None
    assert len(pages) > 5


def test_what_has_no_name_shares_its_style(pages: list[str]) -> None:
    """Articles without an `id` of their own: their styles, and those of all that is in them, are made once."""
    for page in pages:
        root = leaf.read(page)
        assert root is not None
        assert [article.get("id") for article in root.iter("article") if article.get("id")] == []


def test_xml_and_html_are_read_alike() -> None:
    text = "<!doctype html><html><body><p>First &amp; <b>last</b></p><img src='a' alt=''/></body></html>"
    as_xml = leaf.Leaf(text, "file:///book/", None).etree_element
    as_html = leaf.Leaf(text.replace("/>", ">"), "file:///book/", None).etree_element
    assert [element.tag for element in as_xml.find("body").iter()] == [element.tag for element in as_html.find("body").iter()] == ["body", "p", "b", "img"]


def test_no_entity_is_expanded() -> None:
    """What a DOCTYPE with entities of its own would blow up to stays as it is: such a page is read as HTML, which knows none."""
    text = '<!DOCTYPE html [<!ENTITY a "bomb">]><html><body><p>&a;</p></body></html>'
    assert "bomb" not in "".join(leaf.Leaf(text, "file:///book/", None).etree_element.find("body/p").itertext())




def test_a_table_with_a_cell_too_long_becomes_paragraphs() -> None:
    text = ("<!doctype html><html><body><table><caption>Joints</caption><thead><tr><th>Joint</th><th>Torque</th></tr></thead><tbody><tr><th>hub <b>left</b></th>"
            f"<td>{'w' * 700}</td></tr></tbody></table><table><tbody><tr><td>short</td></tr></tbody></table></body></html>")
    body = leaf.Leaf(text, "file:///book/", None).etree_element.find("body")
    assert [(element.tag, "".join(element.itertext())) for element in body] == [("div", f"Jointshub leftTorque {'w' * 700}"), ("table", "short")]
    assert [element.tag for element in body.iter()][:5] == ["body", "div", "p", "p", "b"]


def test_what_is_too_long_to_stand_beside_stands_below() -> None:
    text = f"<!doctype html><html><body><div class='side'>{'w' * 1600}</div><div class='side'>w</div></body></html>"
    assert [element.get("class") for element in leaf.Leaf(text, "file:///book/", None).etree_element.find("body")] == ["side unfolded", "side"]
