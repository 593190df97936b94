"""Frames of a vehicle that rolls on a bench, the processor slowed four times, against a page on which nothing moves."""

import pytest

from tests.story.bench_hands import rolled
from tests.story.conftest import hand, wash

__all__ = ["hand", "wash"]

FRAMES = 120
LONGEST = 32.0  # [ms] a frame on a mid-range phone
MOST_WORK = 16.0  # [ms] of script in any frame: what is left of it is the browser's to draw in
# Frames that other processes of the machine may hold up, on the still page as well: one in twenty is let pass.
HELD_UP = 6
# Gaps between frames, and what each frame's callbacks took before this one, which is the last of them [ms].
GAPS = """count => new Promise(done => {
  const gaps = [], work = []; let last = null;
  const tick = now => {
    work.push(performance.now() - now);
    if (last !== null) gaps.push(now - last);
    last = now;
    if (gaps.length < count) requestAnimationFrame(tick); else done([gaps, work]);
  };
  requestAnimationFrame(tick);
})"""


def frames(page):
    """The gaps and the work of two seconds, shortest first."""
    gaps, work = page.evaluate(GAPS, FRAMES)
    return sorted(gaps), sorted(work)


@pytest.mark.browser
@pytest.mark.benchmark_ratio
def test_what_rolls_is_smooth_on_a_slow_phone(wash, hand):
    """The best of five: a frame takes no longer than a third over one of a still page, and none over 32 ms."""
    page = hand("june")
    rolled(wash, page)
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    best = None
    for _ in range(5):
        if page.get_by_role("button", name="Pause").count():
            page.get_by_role("button", name="Pause").tap()
        still, _ = frames(page)
        page.get_by_role("button", name="Play").tap()
        gaps, work = frames(page)
        seen = gaps[-HELD_UP] / still[-HELD_UP], gaps[-HELD_UP], work[-HELD_UP]
        print(
            f"\nframes: median {gaps[60]:.1f}, 19 in 20 within {seen[1]:.1f}, worst {gaps[-1]:.1f}; of a still "
            f"page {still[60]:.1f}, {still[-HELD_UP]:.1f}, {still[-1]:.1f}; work {work[-HELD_UP]:.1f} ms, "
            f"ratio {seen[0]:.2f}"
        )
        best = min(best, seen) if best else seen
        if best[0] <= 4 / 3 and best[1] <= LONGEST and best[2] <= MOST_WORK:
            break
    ratio, gap, work = best
    assert ratio <= 4 / 3
    assert gap <= LONGEST
    assert work <= MOST_WORK
