"""Tiles of another host, where the owner of a library wants them."""

from __future__ import annotations

from building import make_route
from site_building import build_site
from softpedal.site.policy import policy


def test_the_policy_lets_the_library_s_tiles_in_and_no_other(tmp_path) -> None:
    make_route(tmp_path)
    assert "img-src 'self' data:;" in policy(build_site(tmp_path).folder)
    (tmp_path / "softpedal.yml").write_text(
        'tiles: {url: "https://{s}.tiles.example/{z}/{x}/{y}.png", attribution: Invented}\n',
        encoding="utf-8",
    )
    site = build_site(tmp_path)
    assert "img-src 'self' data: https://*.tiles.example;" in policy(site.folder)
    assert "Invented" in site.text("routes/ferry-steps-to-chapel-green/map.js")
