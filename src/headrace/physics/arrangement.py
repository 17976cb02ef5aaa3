"""Round cells in a box: pitch, count, mass and surface."""

from __future__ import annotations

import numpy as np

from headrace.physics.law import Scalar, law

FREE_LENGTH = 1000.0  # m, stands for a box length that is free


@law(valid={"diameter": (1e-3, 1.0), "gap": (0.0, 0.1)})
def square_pitch(diameter: Scalar, gap: Scalar) -> Scalar:
    r"""Return the pitch of cells in a square pattern.

    .. math:: a = d + c

    Parameters
    ----------
    diameter
        Of a cell. [m]
    gap
        Between neighbouring cells. [m]

    Returns
    -------
    Scalar
        Centre to centre. [m]

    Notes
    -----
    Fills pi/4 of the area.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(square_pitch(0.021, 0.0015), 4)
    0.0225
    """
    return diameter + gap


@law(valid={"pitch": (1e-3, 1.0), "height": (1e-3, 1.0)})
def cells_in_box(box: tuple[Scalar, Scalar, Scalar], pitch: Scalar, height: Scalar, wall: Scalar) -> Scalar:
    r"""Return how many upright cells a box takes, in the best of its three positions.

    .. math:: n = \max_{axis} \lfloor a/p \rfloor \lfloor b/p \rfloor \lfloor c/h \rfloor

    Parameters
    ----------
    box
        Inner lengths of the place; infinite where free. [m]
    pitch
        Centre to centre. [m]
    height
        Of an upright cell. [m]
    wall
        Insulation and box on each side. [m]

    Returns
    -------
    Scalar
        Cells. [-]

    Notes
    -----
    Whole cells in a square pattern, in layers; a board and cable exits need room of their own. A free length
    counts as a kilometre, so that its product with a side too thin for a cell is no cell and not undefined.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> float(cells_in_box((0.30, 0.20, 0.09), 0.0225, 0.070, 0.005))
    96.0
    """
    inside = [np.clip(np.asarray(length) - 2.0 * wall, 0.0, FREE_LENGTH) for length in box]
    along = [np.floor(length / pitch + 1e-9) for length in inside]
    layers = [np.floor(length / height + 1e-9) for length in inside]
    ways = [along[1] * along[2] * layers[0], along[0] * along[2] * layers[1], along[0] * along[1] * layers[2]]
    best: Scalar = np.max(np.broadcast_arrays(*ways), axis=0)
    return best


@law(valid={"extra_mass": (0.0, 3.0)})
def pack_mass(count: Scalar, cell_mass: Scalar, extra_mass: Scalar) -> Scalar:
    r"""Return the mass of a finished pack.

    .. math:: m = n m_c (1 + x)

    Parameters
    ----------
    count
        Cells. [-]
    cell_mass
        Of one cell. [kg]
    extra_mass
        Holders, strips, board and box as a share of the cells' mass. [-]

    Returns
    -------
    Scalar
        Mass. [kg]

    Notes
    -----
    The share for holders, strips, board and box is assumed.

    References
    ----------
    .. [1] Common practice, no source.

    Examples
    --------
    >>> round(pack_mass(40, 0.070, 0.25), 2)
    3.5
    """
    return count * cell_mass * (1.0 + extra_mass)


@law(valid={"charge": (0.0, np.inf), "reserve": (0.0, 0.99), "capacity_left": (0.01, 1.0)})
def cells_for_charge(count: Scalar, charge: Scalar, reserve: Scalar, capacity_left: Scalar) -> Scalar:
    r"""Return how many cells hold the charge of a job down to the reserve at the end of their life.

    .. math:: n = \frac{n_0\, q}{(1 - r)\, c}

    Parameters
    ----------
    count
        Cells of the pack that the charge was counted in. [-]
    charge
        What the job asks for, in full charges of that pack when new. [-]
    reserve
        Of a full charge, to be left. [-]
    capacity_left
        At the end of life, of new. [-]

    Returns
    -------
    Scalar
        Cells, not rounded. [-]

    Notes
    -----
    By charge alone: whether volts and amps do is another question. More cells sag less and so ask for a little less
    charge, which is left out.

    References
    ----------
    .. [1] Definition of reserve and of capacity at the end of life.

    Examples
    --------
    A job of three quarters of 60 cells, a tenth in reserve, four fifths left at the end of life:

    >>> round(cells_for_charge(60, 0.75, 0.1, 0.8), 1)
    62.5
    """
    return count * charge / ((1.0 - reserve) * capacity_left)


@law(valid={"pitch": (1e-3, 1.0)})
def block_area(count: Scalar, pitch: Scalar, height: Scalar) -> Scalar:
    r"""Return the outer surface of a near-square block of upright cells, one layer.

    .. math:: A = 2 a^2 + 4 a h, \quad a = p \sqrt{n}

    Parameters
    ----------
    count
        Cells. [-]
    pitch
        Centre to centre. [m]
    height
        Of an upright cell. [m]

    Returns
    -------
    Scalar
        Surface. [m²]

    Notes
    -----
    What a closed pack cools by; its cells shed a fifth of what each would alone.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(block_area(78, 0.0225, 0.070)), 3)
    0.135
    """
    side = pitch * np.sqrt(count)
    return 2.0 * side**2 + 4.0 * side * height
