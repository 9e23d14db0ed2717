"""Asks axe-core in a headless Chromium what is wrong with a page; nothing is fetched while it looks."""

import json
import re
import subprocess
from html import unescape
from pathlib import Path
from typing import Any

_ASK = """
<pre id="answer-of-axe"></pre><script>%s</script><script>
axe.run(document, {resultTypes: ["violations"]}).then(found => {
  const say = each => ({id: each.id, nodes: each.nodes.map(node => node.html.slice(0, 200))});
  document.getElementById("answer-of-axe").textContent = JSON.stringify(
    {violations: found.violations.map(say), passes: found.passes.length});
});
</script></body>
"""


def violations(page: str, axe: Path, folder: Path) -> list[dict[str, Any]]:
    """What axe-core finds in a page; it must have looked at something at least."""
    # The place for the answer is no part of the sheet: axe is told so by taking it from its view.
    asked = page.replace(
        "</body>", _ASK.replace("%s", axe.read_text("utf-8").replace("</script", "<\\/script"))
    )
    asked = asked.replace("axe.run(document,", 'axe.run({exclude: ["#answer-of-axe"]},')
    file = folder / "page.html"
    file.write_text(asked, "utf-8")
    command = [
        "chromium",
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--window-size=1280,1024",
        "--virtual-time-budget=30000",
        f"--user-data-dir={folder / 'profile'}",
        "--dump-dom",
        file.as_uri(),
    ]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    answer = re.search(r'<pre id="answer-of-axe">(.*?)</pre>', done.stdout, re.DOTALL)
    assert answer is not None
    assert answer[1], "axe-core gave no answer"
    found: dict[str, Any] = json.loads(unescape(answer[1]))
    assert found["passes"] > 5
    listed: list[dict[str, Any]] = found["violations"]
    return listed
