"""On a build server: post comparison.md as a comment on the proposed change. Needs Python alone.

    COMMENTS_URL=... COMMENTS_TOKEN=... python3 post_comment.py [comparison.md]

Most servers that hold repositories take a comment as a JSON object with the one key ``body``, posted to an address of
the proposed change; theirs is in the manual of their interface. The token may write comments and should be able to do
nothing else.
"""

import json
import os
import sys
from pathlib import Path
from urllib.request import Request, urlopen

LONGEST = 60_000
"""Characters. Servers refuse long comments; the whole comparison is among the files that the build keeps."""

text = Path(sys.argv[1] if len(sys.argv) > 1 else "comparison.md").read_text(encoding="utf-8")
if len(text) > LONGEST:
    text = text[:LONGEST].rpartition("\n")[0] + "\n\n**Cut here: the whole is in comparison.md.**\n"
request = Request(
    os.environ["COMMENTS_URL"],
    data=json.dumps({"body": text}).encode(),
    headers={"Authorization": f"Bearer {os.environ['COMMENTS_TOKEN']}", "Content-Type": "application/json"},
)
with urlopen(request, timeout=60) as answer:
    sys.stdout.write(f"Posted: {answer.status}\n")
