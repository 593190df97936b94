"""On-delay, off-delay and pulse timer against the timer diagrams in matiec lib/timer.txt, after IEC 61131-3.

matiec is the open IEC 61131-3 compiler of the Beremiz project; its file says that the diagrams come from the standard.
"""

import pytest

from trainer.solver.timers import ScannedTimer, elapsed, timer

A = [[0, 300], [1000, 2000]]
B = [[0, 1000], [1200, 2000], [2600, 2700]]
C = [[0, 100], [200, 300], [400, 1500]]


@pytest.mark.parametrize(
    ("kind", "preset", "signal", "output"),
    [
        # Columns of the characters in the three diagrams, PT = 5 columns.
        pytest.param(
            "TP", 5, [[12, 21], [27, 28], [30, 31], [35, 44]], [[12, 17], [27, 32], [35, 40]], id="diagram-TP"
        ),
        pytest.param("TON", 5, [[12, 21], [30, 34], [38, 47]], [[17, 21], [43, 47]], id="diagram-TON"),
        pytest.param("TOF", 5, [[14, 23], [32, 36], [40, 49]], [[14, 28], [32, 54]], id="diagram-TOF"),
        # The same rules on signals of our own, PT = 500 ms.
        pytest.param("TON", 500, A, [[1500, 2000]], id="C065"),
        pytest.param("TOF", 500, A, [[0, 800], [1000, 2500]], id="C066"),
        pytest.param("TP", 500, A, [[0, 500], [1000, 1500]], id="C067"),
        pytest.param("TON", 500, B, [[500, 1000], [1700, 2000]], id="C068"),
        pytest.param("TOF", 500, B, [[0, 2500], [2600, 3200]], id="C069"),
        pytest.param("TP", 500, B, [[0, 500], [1200, 1700], [2600, 3100]], id="C070"),
        pytest.param("TON", 500, C, [[900, 1500]], id="C071-TON"),
        pytest.param("TOF", 500, C, [[0, 2000]], id="C071-TOF"),
        pytest.param("TP", 500, C, [[0, 500]], id="C071-TP"),
    ],
)
def test_trace(kind, preset, signal, output):
    assert [list(span) for span in timer(kind, preset, signal)] == output
    # Scanned every unit of time, each edge of Q must come at the same scan.
    scanned = ScannedTimer(kind, preset)
    seen = [scanned.scan(now, any(on <= now < off for on, off in signal)) for now in range(3400)]
    assert seen == [any(on <= now < off for on, off in output) for now in range(3400)]


def test_c072_after_its_time_an_off_delay_stays_at_pt_until_in_rises():
    # Diagram of TOF: ET climbs from t1 and stays at PT, also after Q has dropped, until IN rises at t2 or for ever.
    assert elapsed("TOF", 5, [[14, 23], [32, 36]], 26) == 3
    assert elapsed("TOF", 5, [[14, 23], [32, 36]], 31) == 5
    assert elapsed("TOF", 5, [[14, 23], [32, 36]], 32) == 0
    assert elapsed("TOF", 5, [[14, 23], [32, 36]], 4000) == 5


def test_c073_a_pulse_is_not_started_again_while_it_runs():
    # Diagram of TP: the second short input at t3 falls into the pulse that began at t2, and changes nothing.
    once, twice = [[27, 28]], [[27, 28], [30, 31]]
    assert timer("TP", 5, once) == timer("TP", 5, twice) == ((27, 32),)


def test_even_with_pt_nought_a_scanned_on_delay_takes_a_second_scan():
    # Body of TON in matiec lib/timer.txt: the scan that finds the edge starts the clock and leaves Q false.
    block = ScannedTimer("TON", 0)
    assert [block.scan(now, True) for now in (0, 1, 2)] == [False, True, True]
