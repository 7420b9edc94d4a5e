"""A file is written whole, or the old one stays."""

import pytest

from softpedal.library.whole_file import beside, write_whole


def test_a_file_is_replaced_whole(tmp_path):
    path = tmp_path / "notes.yml"
    for content in (b"old\r\n", b"new"):
        write_whole(path, content)
        assert path.read_bytes() == content
    assert list(tmp_path.iterdir()) == [path]


def test_what_fails_half_way_leaves_the_old_one_and_nothing_else(tmp_path):
    path = tmp_path / "notes.yml"
    path.write_bytes(b"old")
    with pytest.raises(ValueError, match="half"):
        write_half(path)
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


def write_half(path):
    with beside(path) as partial:
        partial.write_bytes(b"ne")
        raise ValueError("half way")
