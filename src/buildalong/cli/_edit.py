"""The command that changes a lesson: it prints what would change, and writes only when told to."""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import click

from buildalong.cli._edit_words import EXAMPLES, edit_of
from buildalong.cli._group import ERRORS, OK, UNREADABLE, attempted, lesson_command, print_findings
from buildalong.cli._show import Progress, say, show_findings

if TYPE_CHECKING:
    from buildalong.board import Layout
    from buildalong.edit import Edit, Editing, Outcome
    from buildalong.finding import Finding

__all__: list[str] = []

_TAKES = {
    "value": ("PART=VALUE", "Give a part another value; the supply's (BT1) is its kind."),
    "key": ("KEY=TEXT", "Set any key of lesson.toml; members count from 1."),
    "unset": ("KEY", "Take a key or a member out."),
    "add": ("WORDS", "Add a part: name, type, value, and the net of each terminal."),
    "remove": ("PART", "Take a part out of circuit and board."),
    "rename": ("WORDS", "Rename a part wherever the lesson names it, words too."),
    "pin": ("WORDS", "Put a terminal on another net; '-' leaves it open."),
    "move": ("WORDS", "Move a part, one lead of it (R1.2), or an end of a wire."),
    "turn": ("WORDS", "Turn a part clockwise, by 180 degrees if nothing is said."),
    "wire": ("WORDS", "Lay a wire: its ends, bends between them, a colour."),
    "unwire": ("NUMBER", "Take a wire out, counted from 1 as 'layout' lists them."),
    "keep": ("NAMES", "Keep these where they are and place all else anew."),
}


def _options(function: Any) -> Any:
    """The options that take words, each with its example, in the order of the table."""
    for name, (metavar, words) in reversed(_TAKES.items()):
        text = f'{words}  Example: --{name} "{EXAMPLES[name]}"'
        function = click.option(f"--{name}", multiple=True, metavar=metavar, help=text)(function)
    return function


@lesson_command('buildalong edit examples/lighthouse --value R1=62k --move "R3 to a17, a13"')
@_options
@click.option("--fewest-wires", is_flag=True, help="Keep the parts where they stand and lay all wires anew.")
@click.option("--tidy", is_flag=True, help="Give up every hole and wire that was placed by hand.")
@click.option("--undo", is_flag=True, help="Take the last edit back that --write wrote.")
@click.option("--redo", is_flag=True, help="Do the edit again that was taken back last.")
@click.option("--write", is_flag=True, help="Write it; without this, only what would change is printed.")
@click.pass_context
def edit(context: click.Context, /, lesson: str, as_json: bool, write: bool, **given: Any) -> int:
    """Change a lesson without losing a comment.

    Prints the lines that would change and writes them only with --write.  Edits are done in the order of
    the options (of several of one kind, where the first stands); if one cannot be done, nothing is.
    """
    wanted = [(name, given[name]) for name in context.params if given.get(name)]
    return _Session(lesson, as_json, write).done(wanted)


@dataclass
class _Session:
    """One call of the command."""

    lesson: str
    as_json: bool
    write: bool
    says: list[str] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def done(self, wanted: list[tuple[str, Any]]) -> int:
        """Do all that is wanted, print it, write it."""
        from buildalong.edit import journal_home, open_lesson, remembered
        from buildalong.finding import Unreadable

        home = journal_home()
        try:
            opened = open_lesson(self.lesson)
            before = remembered(opened, home) if home is not None else opened
            now = self.edited(before, wanted)
        except Unreadable as error:
            print_findings(error.findings, self.as_json)
            return UNREADABLE
        if now is None:
            return UNREADABLE
        written: tuple[str, ...] = ()
        if self.write:
            from buildalong.edit import remember, save

            saved = save(now)
            if not saved.ok:
                print_findings(saved.findings, self.as_json)
                return ERRORS
            written = saved.written
            if home is not None:
                try:
                    remember(saved.editing, home)
                except OSError:
                    self.says.append("this cannot be taken back: the user's folder cannot be written")
        self.show(before, now, written)
        return OK

    def edited(self, editing: Editing, wanted: list[tuple[str, Any]]) -> Editing | None:
        """The lesson after all edits; None where one cannot be done, and it was said why."""
        from buildalong.edit import FewestWires, Tidy
        from buildalong.edit import edit as do
        from buildalong.edit import redo as again
        from buildalong.edit import undo as back

        for name, value in wanted:
            flags: dict[str, Edit | None] = {
                "tidy": Tidy(), "fewest_wires": FewestWires(), "undo": None, "redo": None
            }  # fmt: skip
            for each in [flags[name]] if name in flags else [edit_of(name, text) for text in value]:
                done: Outcome
                if each is None:
                    done = back(editing) if name == "undo" else again(editing)
                else:
                    done = do(editing, each, self.board(editing, each))
                if not done.ok:
                    print_findings(done.findings, self.as_json)
                    return None
                editing = done.editing
                self.says.append(done.says)
                self.findings += done.findings
        return editing

    def board(self, editing: Editing, each: Edit) -> Layout | None:
        """The board as the author would see it, where the edit must know it and not all is by hand."""
        from buildalong.edit import needs_board

        if not needs_board(editing, each):
            return None

        def work(progress: Progress) -> Layout | None:
            from buildalong.lesson import compile_lesson
            from buildalong.store import user_store

            lesson = editing.lesson()
            return compile_lesson(lesson, want={"board"}, progress=progress, store=user_store()).layout

        return attempted(work, self.as_json)

    def show(self, before: Editing, now: Editing, written: tuple[str, ...]) -> None:
        """Print what became of the texts."""
        changed = {name: text for name, text in now.texts.items() if text != before.texts[name]}
        if self.as_json:
            from buildalong.cli._json import SCHEMA, finding_object, write

            findings = [finding_object(finding) for finding in self.findings]
            document = {"schema": SCHEMA, "says": self.says, "texts": changed, "written": list(written)}
            say(write({**document, "findings": findings}))
            return
        for name, text in changed.items():
            shown = now.shown(name)
            old, new = before.texts[name].splitlines(), text.splitlines()
            for line in difflib.unified_diff(old, new, shown, shown, "as it is", "edited", 1, ""):
                say(line)
        show_findings(self.findings, {})
        for line in self.says:
            say(line)
        if not self.says:
            say("nothing was asked for; --help tells what there is")
        elif not self.write:
            say("nothing was written; --write writes it")
