"""A program in RS-274 words, run on paper.

The words are taken from the text by a general G-code grammar (tree-sitter-gcode), which knows comments, line numbers and
modal words; what they do is worked out here.
"""

import re
from dataclasses import dataclass, field

import tree_sitter
import tree_sitter_gcode

from .path import Piece

MM_PER_INCH = 25.4
# Words that change nothing a path depends on: plane XY, feed per minute, kerf not shifted by the machine, path modes.
SETTLED = {17.0, 40.0, 49.0, 61.0, 64.0, 80.0, 94.0}


@dataclass
class Move:
    """One move, in mm from the program's zero."""

    line: int
    rapid: bool
    lit: bool
    piece: Piece
    from_z: float | None
    to_z: float | None


@dataclass
class Run:
    """What was cut between torch on and torch off."""

    pierce: tuple[float, float]
    pieces: list = field(default_factory=list)


@dataclass
class Program:
    moves: list = field(default_factory=list)
    runs: list = field(default_factory=list)
    # What no machine should be asked, each with its line.
    faults: list = field(default_factory=list)
    ended: bool = False
    lit_at_end: bool = False


def words_by_line(text):
    """For each line with words its number and its words, each a letter and a number; and what the grammar refuses."""
    parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_gcode.language()))
    root = parser.parse(text.encode("utf-8")).root_node
    lines, faults = [], []

    def look(node):
        number = node.start_point[0] + 1
        if node.is_error or node.is_missing:
            faults.append(f"line {number} is no G-code: {node.text[:40]!r}")
        elif node.type == "word":
            said = node.text.decode("utf-8")
            word = re.fullmatch(r"\s*([A-Za-z])\s*([-+]?(?:\d+\.?\d*|\.\d+))\s*", said)
            if not word:
                faults.append(f"line {number} has a word without a plain number: {said!r}")
                return
            if not lines or lines[-1][0] != number:
                lines.append((number, []))
            lines[-1][1].append((word[1].upper(), float(word[2])))
        else:
            for child in node.children:
                look(child)

    look(root)
    return lines, faults


def words_of(text):
    """Such as `M64 P1`, as words."""
    return {(word[0].upper(), float(word[1:])) for word in text.split()}


class Runner:
    """The state of the machine from word to word."""

    def __init__(self, torch_words, absolute_centres):
        self.torch_on, self.torch_off = (words_of(words) for words in torch_words)
        self.absolute_centres = absolute_centres
        self.program = Program()
        self.scale = None
        self.motion = None
        self.at = None
        self.z = None
        self.lit = False

    def fault(self, line, what):
        self.program.faults.append(f"line {line} {what}")

    def run(self, text):
        lines, faults = words_by_line(text)
        self.program.faults += faults
        for number, words in lines:
            if self.program.ended:
                self.fault(number, "stands after the end")
            self.line(number, words)
        self.program.lit_at_end = self.lit
        return self.program

    def line(self, number, words):
        said = set(words)
        for torch, lit in ((self.torch_on, True), (self.torch_off, False)):
            if torch <= said:
                said -= torch
                self.switch(number, lit)
        values = {}
        dwells = ("G", 4.0) in said
        for letter, value in words:
            if (letter, value) not in said:
                continue
            if letter == "G":
                self.preparatory(number, value)
            elif letter == "M":
                if value in (2.0, 30.0):
                    self.program.ended = True
            elif letter in values:
                self.fault(number, f"says {letter} twice")
            else:
                values[letter] = value
        if not dwells and values.keys() & {"X", "Y", "Z", "I", "J"}:
            self.move(number, values)

    def preparatory(self, number, value):
        if value in (0.0, 1.0, 2.0, 3.0):
            self.motion = int(value)
        elif value in (20.0, 21.0):
            self.scale = MM_PER_INCH if value == 20.0 else 1.0
        elif value == 90.1:
            self.absolute_centres = True
        elif value == 91.1:
            self.absolute_centres = False
        elif value not in SETTLED | {4.0, 90.0}:
            self.fault(number, f"says G{value:g}, which is not read here")

    def switch(self, number, lit):
        if lit and self.lit:
            self.fault(number, "lights a torch that burns")
        if lit:
            if self.at is None:
                self.fault(number, "lights the torch before any place is known")
            self.program.runs.append(Run(self.at or (0.0, 0.0)))
        self.lit = lit

    def move(self, number, values):
        if self.scale is None or self.motion is None:
            self.fault(number, "moves before unit and kind of move are said")
            return
        said = {letter: value * self.scale for letter, value in values.items()}
        z, self.z = self.z, said.get("Z", self.z)
        if self.at is None:
            if "X" in said and "Y" in said:
                # Where the torch comes from is not known: the first move counts from where it ends.
                self.at = (said["X"], said["Y"])
                if self.motion in (2, 3):
                    self.fault(number, "is an arc from nowhere")
            elif "X" in said or "Y" in said:
                self.fault(number, "moves on one axis before any place is known")
            return
        end = (said.get("X", self.at[0]), said.get("Y", self.at[1]))
        piece = Piece(self.at, end)
        if self.motion in (2, 3):
            if not said.keys() & {"I", "J"}:
                self.fault(number, "is an arc without a centre")
            if self.absolute_centres:
                centre = (said.get("I", self.at[0]), said.get("J", self.at[1]))
            else:
                centre = (self.at[0] + said.get("I", 0.0), self.at[1] + said.get("J", 0.0))
            piece = Piece(self.at, end, centre, self.motion == 3)
        self.program.moves.append(Move(number, self.motion == 0, self.lit, piece, z, self.z))
        if self.lit and (piece.length > 0 or piece.centre is not None):
            self.program.runs[-1].pieces.append(piece)
        self.at = end
