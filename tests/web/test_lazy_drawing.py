"""No page loads the drawing library; only a drawing's own address does."""

import subprocess
import sys

SCRIPT = """
import sys
from pathlib import Path
from tests.cast import MONDAY, make_cast
from tests.web.stage import Stage
from trainer.acts.sites import save_sheet
from trainer.exams.reading import load_schemes
from trainer.language.lessons import load_lessons
from trainer.language.loading import content_folder, load_bank
from trainer.sites import demo_sheet, demo_text

folder = Path(sys.argv[1])
cast = make_cast(f"sqlite:///{folder / 'cast.sqlite3'}")
save_sheet(cast.database, site_id=cast.site, by=cast.tom, sheet=demo_sheet(), text=demo_text(), now=MONDAY)
bank = load_bank()
schemes = load_schemes(content_folder() / "questions" / "schemes")
content = {"bank": bank, "lessons": load_lessons(bank=bank), "schemes": schemes}
stage = Stage(cast=cast, content=content, folder=folder)
lesson = stage.house.lessons.of_skill("measuring.length_from_pulses")[0].id
tom, mia = stage.visitor(cast.tom), stage.visitor(cast.mia)
drill = tom.send("/drill", lesson=lesson).location
for visitor, address in ((tom, "/today"), (tom, f"/lessons/{lesson}"), (tom, drill), (tom, "/people"),
                         (tom, "/sheet"), (tom, "/survey"), (tom, "/survey/entry/change"),
                         (tom, "/exams/"), (mia, "/cabinets"), (mia, "/log")):
    assert visitor.get(address).status_code == 200, address
    assert "matplotlib" not in sys.modules, address
drawings = [n for n in range(20) if tom.get(f"/lessons/{lesson}/drawings/{n}.svg").status_code == 200]
assert drawings and "matplotlib" in sys.modules
"""


def test_no_page_without_a_drawing_loads_matplotlib(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(tmp_path)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
