"""Keep a pack of the format that is written today: `python -m tests.support.old_pack`.

Once a format, when it is new: tests/gold/packs/format-N.zip and, beside it, the public keys of those who signed. The
private ones are thrown away, so that nobody can make the pack again; that is the point of it. One that stands there is
never written anew.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from asfound.cli.pack import run_pack
from asfound.pack.write import FORMAT
from tests.real.story import tell
from tests.rules.signing import line
from tests.rules.support import CASE

HOME = Path(__file__).resolve().parents[1] / "gold" / "packs"


def main() -> int:
    """Exit code: 0 written, 1 one stands there already."""
    out = HOME / f"format-{FORMAT}.zip"
    if out.exists():
        print(f"{out.name} stands there already; a pack that was handed out is never made anew", file=sys.stderr)
        return 1
    HOME.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        story = tell(Path(place).resolve() / "repository")
        done = run_pack(str(story.root / CASE), 2, False, str(out), False, None, str(story.root))
    out.with_suffix(".signers").write_text(line("examiner-1") + line("second"))
    return done


if __name__ == "__main__":
    sys.exit(main())
