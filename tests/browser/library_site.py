"""The sample library as pages in a browser: fixtures, and what is read on the page."""

from __future__ import annotations

import pytest

from browser.sample_library import ROUTES, build_library

ALL = list(ROUTES)
READY = "document.querySelector('[data-sp-ready]') !== null"
SHOWN = "[...document.querySelectorAll('[data-sp-row]:not([hidden])')].map(r => r.dataset.spRow)"
MAP = "[...softpedal.library.values()][0].map"


@pytest.fixture(scope="session")
def library_home(tmp_path_factory):
    """Address of the library's site, from a sub-path, with the theme's instant navigation."""
    from browser.conftest import serving

    root = tmp_path_factory.mktemp("library")
    with serving(root, policy="") as served:
        site = build_library(root / "work", site_url=f"{served.url}rides/")
        site.rename(root / "rides")
        yield f"{served.url}rides/"


@pytest.fixture(scope="session")
def library_on_disk(tmp_path_factory) -> str:
    """Address of the page of all routes on a disk."""
    folder = tmp_path_factory.mktemp("disk")
    site = build_library(folder, use_directory_urls=False, plugins=["softpedal"])
    return (site / "routes" / "index.html").as_uri()


@pytest.fixture
def open_library(library_home, visit):
    """A function that opens the page of all routes with a query and waits until it is ready."""

    def opened(query: str = "", **options):
        watched = visit(f"{library_home}routes/{query}", home=library_home, **options)
        watched.until(READY)
        return watched

    return opened


def set_filter(watched, name: str, value: str) -> None:
    """Set one filter as a reader does; "" takes it back."""
    control = watched.page.locator(f".sp-library [name={name}]")
    if not control.is_visible():
        watched.page.locator(".sp-more").click()
    kind = control.evaluate("each => each.type")
    if kind == "checkbox":
        control.set_checked(bool(value))
    elif kind == "search":
        control.fill(value)
    else:
        control.select_option(value)
