"""A preview that is made anew while somebody reads it opens again at the same place."""

from __future__ import annotations

import base64
import hashlib

__all__ = ["following"]

SCRIPT = """"use strict";
{
  let from = null;
  const heads = () => [...document.querySelectorAll("[id]")];
  const top = (one) => one.getBoundingClientRect().top;
  addEventListener("scroll", () => {
    const above = heads().filter((one) => one.offsetParent && top(one) <= 1).pop();
    from = { id: above ? above.id : "", by: above ? -top(above) : scrollY, hash: location.hash };
    parent.postMessage(from, "*");
  }, { passive: true });
  addEventListener("message", ({ source, data }) => {
    if (source !== parent || !data) return;
    if (data.hash && data.hash !== location.hash) location.replace(data.hash);
    const head = data.id ? document.getElementById(data.id) : null;
    const by = head ? scrollY + top(head) + data.by : data.by;
    if (head || !data.id) scrollTo({ top: by, behavior: "instant" });
  });
}
"""
"""It tells the bench's page where the reader is, and goes there when it is told; it sees nothing else."""


def following(page: bytes) -> bytes:
    """A published page with the script that keeps the reader's place, allowed by its digest."""
    text = page.decode()
    digest = base64.b64encode(hashlib.sha256(SCRIPT.encode()).digest()).decode()
    start = text.find('content="', text.find("Content-Security-Policy")) + len('content="')
    end = text.find('"', start)
    rules = [rule.strip() for rule in text[start:end].split(";")]
    if not any(rule.startswith("script-src") for rule in rules):
        rules.append("script-src")
    allowed = "; ".join(f"{r} 'sha256-{digest}'" if r.startswith("script-src") else r for r in rules)
    at = text.rindex("</body>")
    return f"{text[:start]}{allowed}{text[end:at]}<script>{SCRIPT}</script>{text[at:]}".encode()
