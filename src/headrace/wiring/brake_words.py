"""What a brake on release is called: a resistor across two wires, or the controller of a motor of three."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class BrakeWords:
    """The words that go with one kind of brake; ``{}`` stands for its ohms.

    Attributes
    ----------
    planned, proposed
        The one of the file, and one that is proposed, before "stops it in".
    braked
        A time with it.
    suggested
        What is proposed, in two or three words.
    stops
        That it stops the tool.
    takes
        What takes the heat.
    longer
        What is wrong where it takes longer.
    too_weak, harms
        Why none is proposed: none stops it in time, or one that does harms the motor.
    """

    planned: str
    proposed: str
    braked: str
    suggested: str
    stops: str
    takes: str
    longer: str
    too_weak: str
    harms: str


RESISTOR = BrakeWords(
    planned="The planned brake of {}",
    proposed="Across the motor on release a resistor of {}",
    braked="with a resistor of {}",
    suggested="a resistor",
    stops="stops it",
    takes="brake's resistor",
    longer="the resistor, its contact or a brush is open",
    too_weak="no usual resistor across the motor stops it in time; it needs a brake of its own",
    harms="a resistor that stops it in time draws more at first than the motor is known to stand; it needs a brake of "
    "its own",
)
CONTROLLER = BrakeWords(
    planned="The planned brake, its controller braking as {} across the motor would,",
    proposed="On release its controller, braking as {} across the motor would,",
    braked="braking as {} would",
    suggested="one by its controller",
    stops="its controller stops it",
    takes="brake",
    longer="its controller brakes less or not at all, or one of the motor's three wires is open",
    too_weak="its controller, braking unplugged, does not stop it in time however hard it does; it needs a brake of "
    "its own",
    harms="its controller, braking so hard that it stops in time, draws more at first than the motor is known to "
    "stand; it needs a brake of its own",
)


def brake_words(*, by_controller: bool) -> BrakeWords:
    """Return the words for the brake of a motor, by whether its controller has to do it."""
    return CONTROLLER if by_controller else RESISTOR
