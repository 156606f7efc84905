"""Puts a body into the frame that every page shares: policy, banner, cautions, print rules."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Mapping, Sequence

from markupsafe import Markup

from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.palette import custom_properties
from sitebook.pages.self_contained import refuse_loads

PRIVATE_WORDS = "Private: exact places. Do not pass it on."

CAUTIONS: tuple[str, ...] = (
    "A name on this page is somebody's opinion of a find. It is no proof of what grows there next time.",
    "Whether something can be eaten is a question this book does not answer.",
    "Ask whoever owns or manages the ground before you gather.",
    "Only a laboratory test measures pollution. Map distances and traffic are hints, not measurements.",
    "Ill after eating: call a poison centre or a physician at once, and keep what is left of the mushrooms.",
)


def page(
    *,
    title: str,
    body: Markup,
    style: str = "",
    scripts: Sequence[str] = (),
    data: Mapping[str, object] | None = None,
    subtitle: str = "",
    private: bool = True,
    poison_centre: str = "",
) -> str:
    """Draw one self-contained page that opens from a file with the network off.

    Parameters
    ----------
    title
        Heading, and title of the window.
    body
        What stands between heading and cautions, escaped already.
    style
        Style sheet of the page, set after that of the frame; colours by `var(--name)` of `palette`.
    scripts
        Scripts in the order they run, after the body stands; the policy admits these and no others.
    data
        What the scripts read, as JSON in the element `page-data`; None for no such element.
    subtitle
        One line below the heading.
    private
        Whether the page shows exact places and says so in a banner.
    poison_centre
        Telephone of the poison centre, from her settings; empty where none was set.

    Returns
    -------
    str
        The page as HTML.

    Raises
    ------
    PageNotSelfContained
        If anything in it would be loaded from outside.
    """
    texts = [_script_text(script) for script in scripts]
    html = rendered(
        "frame.html.j2",
        title=title,
        subtitle=subtitle,
        policy=_policy(texts),
        style=Markup(_style_text(custom_properties() + text_of("frame.css") + style)),  # noqa: S704
        body=body,
        data=None if data is None else Markup(_data_text(data)),  # noqa: S704
        scripts=[Markup(text) for text in texts],  # noqa: S704
        private_words=PRIVATE_WORDS if private else "",
        cautions=cautions(poison_centre),
    )
    refuse_loads(html)
    return str(html)


def cautions(poison_centre: str = "") -> tuple[str, ...]:
    """Give the cautions every page ends in, with the poison centre's number where she has set one."""
    number = poison_centre or "no number is set: sitebook settings poison_centre NUMBER"
    return (*CAUTIONS, f"Poison centre: {number}.")


def _policy(scripts: Sequence[str]) -> str:
    """Content security policy that admits nothing but what stands in the page itself."""
    hashes = " ".join(f"'sha256-{_sha256_base64(text)}'" for text in scripts)
    return (
        "default-src 'none'; img-src data:; style-src 'unsafe-inline'; "
        f"script-src {hashes or chr(39) + 'none' + chr(39)}; base-uri 'none'; form-action 'none'"
    )


def _sha256_base64(text: str) -> str:
    """Hash of a script as a policy wants it."""
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _script_text(script: str) -> str:
    """Keep a script from ending its own element, and give it the line ends a browser hashes."""
    unix = script.replace("\r\n", "\n").replace("\r", "\n")
    return re.sub(r"<(?=/script|!--)", r"\\x3c", unix, flags=re.IGNORECASE)


def _style_text(style: str) -> str:
    """Keep a style sheet from ending its own element."""
    return style.replace("</", "<\\/")


def _data_text(data: Mapping[str, object]) -> str:
    """JSON in which no letter can end the element it stands in."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
