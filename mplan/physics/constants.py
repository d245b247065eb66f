"""Physical constants, SI, each with its source."""

from __future__ import annotations

from math import pi

G0 = 9.80665  # m/s2, standard gravity, ISO 80000-3
DAY = 86400.0  # s
HOUR = 3600.0  # s
MINUTE = 60.0  # s
DEG = pi / 180.0  # rad

MU_EARTH = 3.986004418e14  # m3/s2, WGS 84 (NGA.STND.0036), geocentric gravitational constant
MU_MOON = 4.902800076e12  # m3/s2, DE421 (JPL IOM 343R-08-003): GMB and EMRAT of its header
MU_SUN = 1.32712440040945e20  # m3/s2, DE421 (JPL IOM 343R-08-003): GMS of its header

R_EARTH = 6378137.0  # m, equatorial, WGS 84
F_EARTH = 1.0 / 298.257223563  # flattening, WGS 84
J2_EARTH = 1.08262668e-3  # EGM96 (NASA TP-1998-206861), C20 un-normalised
W_EARTH = 7.292115e-5  # rad/s, WGS 84, Earth's rotation rate

AU = 149597870700.0  # m, astronomical unit, IAU 2012 resolution B2
R_MOON = 1737400.0  # m, mean sphere, IAU WGCCRE report 2015
R_MOON_FIELD = 1738000.0  # m, reference radius of the coefficients of GL0660B, J2 and C22 too
J2_MOON = 2.0330530e-4  # GL0660B (Konopliv et al. 2013), un-normalised, with the permanent tide
C22_MOON = 2.242615e-5  # GL0660B (Konopliv et al. 2013), un-normalised, with the permanent tide

ENTRY_INTERFACE = 121920.0  # m, 400 000 ft, altitude at which entry is reckoned to begin
