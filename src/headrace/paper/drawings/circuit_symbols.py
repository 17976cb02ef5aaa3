"""The signs of a circuit diagram, drawn along a line from -20 to 20 that the current goes down.

After IEC 60617, the standard for signs in circuit diagrams: fuse a box with the wire through it, resistor a box
without, an isolator's contact with a bar, a contactor's with a half circle, a contact held by hand with its button.
The signs are from memory of the standard; the words beside each say what it is.
"""

from __future__ import annotations

REACH = 20.0  # from the middle of a sign to its terminals
BLADE = '<path class="pen" d="M-20 0H-9L9 -9M9 0H20"/>'
LEADS = '<path class="pen" d="M-20 0H-12M12 0H20"/>'
BOX = '<rect class="pen" x="-12" y="-5" width="24" height="10"/>'

SIGNS = {
    "fuse": f'{BOX}<path class="pen" d="M-20 0H20"/>',
    "resistor": BOX + LEADS,
    "contact": BLADE,
    "relay": BLADE,
    "mains switch": BLADE,
    "isolator": f'{BLADE}<path class="pen" d="M9 -5V5"/>',
    "contactor": f'{BLADE}<path class="pen" d="M9 -4a4 4 0 0 1 0 8"/>',
    # normally closed, opened by a mushroom head
    "stop": '<path class="pen" d="M-20 0H-9L11 -7M9 0V-10M9 0H20"/><path class="dash" d="M0 -4V-14"/>'
    '<path class="cells" d="M-8 -13a8 6 0 0 1 16 0z"/>',
    # normally closed, opened by a coil
    "brake relay": '<path class="pen" d="M-20 0H-9L11 -7M9 0V-10M9 0H20"/>',
    # normally open, closed while a button is pressed
    "control": f'{BLADE}<path class="dash" d="M0 -5V-17"/><path class="pen" d="M-6 -13V-17H6V-13"/>',
    "coil": '<rect class="pen" x="-6" y="-9" width="12" height="18"/><path class="pen" d="M-20 0H-6M6 0H20"/>',
}
OTHER = BOX + LEADS.replace("class", 'data-sign="unknown" class')  # a part this room has not been told of

MOTORS = {"motor": "direct current", "three-phase motor": "three phases", "mains motor": "mains"}
UNDER = {"motor": "=", "three-phase motor": "3~", "mains motor": "1~"}  # what stands under the M


def sign(kind: str, x: float, y: float, *, down: bool, turned: bool = False) -> str:
    """Return the sign of a part that current goes through.

    Parameters
    ----------
    kind
        Of part.
    x, y
        Its middle.
    down
        Whether it stands along a line that goes down, not across.
    turned
        Whether its end "out" comes first along that line.
    """
    turn = " rotate(90) scale(1 -1)" if down else ""
    turn += " scale(-1 1)" if turned else ""
    return f'<g transform="translate({x:.0f} {y:.0f}){turn}">{SIGNS.get(kind, OTHER)}</g>'


def cells(x: float, top: float, bottom: float, *, plus_up: bool) -> str:
    """Return the sign of a battery between two heights: of each cell the long plate is the plus."""
    middle = (top + bottom) / 2.0
    long, short = '<path class="pen" d="M{:.0f} {:.0f}h24"/>', '<path class="plate" d="M{:.0f} {:.0f}h12"/>'
    drawn = [f'<path class="pen" d="M{x:.0f} {top:.0f}V{middle - 22.0:.0f}M{x:.0f} {middle + 22.0:.0f}V{bottom:.0f}"/>']
    for first in (middle - 22.0, middle + 14.0):
        for step, plate in enumerate((long, short) if plus_up else (short, long)):
            drawn.append(plate.format(x - (12.0 if plate is long else 6.0), first + 8.0 * step))
    return "".join(drawn) + f'<path class="dash" d="M{x:.0f} {middle - 13.0:.0f}V{middle + 13.0:.0f}"/>'
