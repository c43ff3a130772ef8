"""Words of the article that are ours and not the author's; whole sentences, one place."""

SUMMARY = "{title}: a build-along electronics lesson."
FACT_SUPPLY = "Supply"
FACT_BOARD = "Board"
FACT_PARTS = "Parts"
FACT_STEPS = "Steps"
FACT_AGES = "Ages"
FACT_TIME = "Time"
FACT_AUTHOR = "By"
FACT_LICENCE = "Licence"
TIE_POINTS = "{board} tie-points"
TOOL_BOARD = "Breadboard with {board} tie-points"
TITLE_SOURCES = "Sources and links"

TITLE_LOOK = "What you will build"
TITLE_PARTS = "The parts"
TITLE_CAUTIONS = "Before you start"
TITLE_CIRCUIT = "The circuit"
TITLE_FORMULA = "The formula"
TITLE_STORY = "How it works"
TITLE_BUILD = "Build it"
TITLE_SEE = "What you should see"
TITLE_WRONG = "What can go wrong"

CAPTION_BOARD = "The finished board, seen from above."
TITLE_CARDS = "Part cards"
PIECES = "{count} pieces"
CARD_SYMBOL = "Symbol"
CARD_MARKING = "Marking"
CARD_LEGS = "Legs"
CARD_LEADS = "Leads"
CARD_SLIPS = "Easily put in wrong"

NETS_ALT = "The finished board with its nets in colour: {nets}."
MOMENT_BOARD = "The finished board at the chosen moment: what shines is drawn shining."
MOMENT_SCHEMATIC = "The schematic with the voltages of the chosen moment."
"""What a screen reader says of pictures whose parts and wires it has read before."""
CAPTION_TOP = "From above: strips of one colour are one net, named once, as in the schematic."
CAPTION_TILTED = "From above and aside: how high everything stands. Every size is true to the board."
LEFT_HAND = (
    "The board lies turned for a left hand: row 1 is nearest to you and column j on your left. Left, right, "
    "upper and lower mean what you see."
)
CAPTION_SCHEMATIC = (
    "The schematic, with symbols after {symbols} and reference letters after IEEE 315. A dot marks "
    "where wires join; wires that cross without a dot do not touch. Names in italics are those of nets."
)
CAPTION_WAVEFORMS = "The simulated voltages and lights over the whole time."
CAPTION_CLOSER = "The beginning, closer; the numbers are those of the sentences above."
LEGEND_WORK = "Watch it work"
CAPTION_WORK = (
    "Lights, voltages and the time, as simulated; the numbers are those of the sentences above. It never "
    "flashes more than three times in a second."
)
LEGEND_BUILD = "Watch it grow"
CAPTION_BUILD = "The board from the first step to the last."
STEP_TITLE = "Step {number}: {title}"
TITLE_INSIDE = "Inside {part}, the {noun}"
ABOUT_INSIDE = (
    "Thick and red is high (1), closed or active; thin is low (0), open or a steady voltage. The volts "
    "beside the pins are those of that moment. The numbers are those of the sentences above; what they do "
    "not tell has none."
)
SYMBOLS = "Symbols after {symbols}; reference letters after IEEE 315; quantities after ISO 80000."

MARKED = "Marked {mark}. {reading}"
WIRES = "{count} wires"
ONE_WIRE = "one wire"
WITHIN = "{value} ({low} to {high})"
NOTHING = "nothing to measure"

HEADS = ("references", "quantity", "part", "marking", "type")
CAUTION_ABOUT = "{name} ({references})"
CAUTIONS = (
    "Use only the supply that the lesson names. Never connect a breadboard to the mains.",
    "If a part gets hot, or you smell something, take the supply off at once and look for the fault.",
    "Keep small parts and button cells away from small children; a swallowed button cell is an emergency.",
    "Cut leads can fly: hold them while you cut, and wear glasses.",
    "Where a school, a workplace or the law has rules of its own, they come first.",
)
"""The usual cautions for extra-low voltage work on a bench (common practice)."""
