"""What a person uses and gives off in a day, and what lithium hydroxide makes of it.

Rates of the Baseline Values and Assumptions Document of 2004, NASA/CR-2004-208941, per person and
day: what goes in (5.361 kg) is what comes out. Hygiene water is from memory of its successor.
The part of them that follows activity is told apart: food that is burned with oxygen, carbon
dioxide, breath and sweat. The rest is the same for everybody. Life support for people is settled
by licensed practice, not by this table.
"""

from __future__ import annotations

# Taken in, kg per person and day (BVAD).
OXYGEN, DRY_FOOD, WATER = 0.835, 0.617, 3.909  # water to drink, to prepare food and in it
# Given off, kg per person and day (BVAD).
CO2 = 0.998
URINE, URINE_SOLIDS = 1.886, 0.059
HUMIDITY, SWEAT_SOLIDS = 2.277, 0.018  # breath and sweat, condensed
FAECAL_SOLIDS, FAECAL_WATER = 0.032, 0.091
FAECES = FAECAL_SOLIDS + FAECAL_WATER
HYGIENE = 0.4  # kg per person and day, used and then stored; short missions (MEMORY)

# What is not given off as solids is burned: O2 + food -> CO2 + water, to the gram.
SOLIDS = URINE_SOLIDS + SWEAT_SOLIDS + FAECAL_SOLIDS
BURNED = DRY_FOOD - SOLIDS
METABOLIC_WATER = OXYGEN + BURNED - CO2

# 2 LiOH + CO2 -> Li2CO3 + H2O, by molar masses 23.948, 44.009 and 18.015 g/mol.
ABSORBED = 0.919  # kg of CO2 a kilogram of hydroxide at best
REACTION_WATER = 0.409  # kg of water a kilogram of CO2: it leaves the canister as humidity
UTILISATION = 0.8  # share of the hydroxide that is used (75 to 85 %; common practice, from memory)

# kg/s of oxygen out of one pressurised suit: 180 cm3 a minute at 101.325 kPa and 21.1 C, the most
# that suits of the first landings were accepted with (from memory).
SUIT_LEAKAGE = 180e-6 / 60.0 * 1.3253

# J/kg: what water carries off that sublimes at 0 C, drawn as liquid at 22 C (steam tables).
LATENT = 2.501e6 - 22.0 * 4186.0

BVAD = "NASA/CR-2004-208941, rates per person and day"
MEMORY = "NASA/TP-2015-218570, rate per person and day, from memory"
