"""Lanes: one number, or one for each of many machines worked out side by side."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Lanes = float | npt.NDArray[np.float64]
