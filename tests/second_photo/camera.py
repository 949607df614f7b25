"""A pinhole camera with one term of radial distortion, above a plate that may be tilted.

The plate's own frame: origin in the middle of the hole's rim plane (z = 0), x right, y up, z to the
camera, millimetres. Pixels: x right, y down, 0 in the middle of the upper left one.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where the camera stands, and how it images.

    `um_a_pixel` holds on the axis in the plane z = 0. `tilt_deg` turns the plate about the line in
    its plane at `tilt_axis_deg`; `aim_mm` is the point of the plate on the optical axis.
    `barrel` is the distortion at the corner of the picture, as a share (negative: barrel).
    """

    wide: int = 700
    high: int = 700
    um_a_pixel: float = 12.0
    distance_mm: float = 80.0
    tilt_deg: float = 0.0
    tilt_axis_deg: float = 0.0
    aim_mm: tuple[float, float] = (0.0, 0.0)
    barrel: float = 0.0
    falls_off: bool = True

    @property
    def pixels_a_radian(self):
        """Return the focal length in pixels."""
        return 1000 * self.distance_mm / self.um_a_pixel

    @property
    def turn(self):
        """Return the rotation from the plate's frame to the camera's (Rodrigues)."""
        a = np.radians(self.tilt_axis_deg)
        x, y = np.cos(a), np.sin(a)
        t = np.radians(self.tilt_deg)
        cross = np.array([[0, 0, y], [0, 0, -x], [-y, x, 0]])
        return np.eye(3) + np.sin(t) * cross + (1 - np.cos(t)) * cross @ cross

    @property
    def corner(self):
        """Return the distance of the corner from the middle, as a tangent."""
        return np.hypot(self.wide, self.high) / 2 / self.pixels_a_radian

    def rays(self, x, y):
        """Return where rays start and how they go, in the plate's frame, and cos of their angle."""
        u = (x - (self.wide - 1) / 2) / self.pixels_a_radian
        v = -(y - (self.high - 1) / 2) / self.pixels_a_radian
        u, v = self.undistorted(u, v)
        ways = np.stack([u, v, -np.ones_like(u)], axis=-1)
        cosine = 1 / np.sqrt(u**2 + v**2 + 1)
        turn = self.turn
        start = turn.T @ np.array([0.0, 0.0, self.distance_mm]) + np.array([*self.aim_mm, 0.0])
        return start, ways @ turn, cosine

    def undistorted(self, u, v):
        """Return true tangents of seen ones: seen = true (1 + k true²), solved by Newton."""
        k = self.barrel / self.corner**2
        seen = np.hypot(u, v)
        true = seen.copy()
        for _ in range(6):
            true -= (true * (1 + k * true**2) - seen) / (1 + 3 * k * true**2)
        ratio = np.divide(true, seen, out=np.ones_like(true), where=seen > 0)
        return u * ratio, v * ratio

    def seen(self, points_mm):
        """Return the pixels at which points (n, 3) of the plate's frame are seen."""
        points = np.asarray(points_mm, float) - np.array([*self.aim_mm, 0.0])
        x, y, z = (points @ self.turn.T).T
        u, v = x / (self.distance_mm - z), y / (self.distance_mm - z)
        stretch = 1 + self.barrel / self.corner**2 * (u**2 + v**2)
        return np.stack(
            [
                u * stretch * self.pixels_a_radian + (self.wide - 1) / 2,
                -v * stretch * self.pixels_a_radian + (self.high - 1) / 2,
            ],
            axis=-1,
        )
