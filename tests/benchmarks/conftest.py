"""The same installation as the tests of pages have."""

from tests.web.conftest import content, make_stage, stage, stored_cast

__all__ = ["content", "make_stage", "stage", "stored_cast"]
