"""Two small setup files for the tests of the travel's outputs."""

from __future__ import annotations

ARM = """
units = "in"
name = "arm"
[travel]
ride = 4
[spring]
least = 3
greatest = 11
diameter = 6
max_pressure = "150 psi"
[[spring.table]]
height = 3
area = "27 in2"
[[spring.table]]
height = 11
area = "17 in2"
[seat]
on = "arm"
along = 15
above = "-2 1/2"
tilt = -10
[tyre]
size = "ST205/75R15"
[frame]
lowest_below = "1/2"
[trailing_arm]
pivot_along = 0
pivot_above = 5
length = 24
[load]
wheel = "1450 lb"
unsprung = "120 lb"
"""

LINKS = """
units = "mm"
[travel]
ride = 110
[spring]
least = 80
greatest = 290
diameter = 165
table_pressure = "5 bar"
[[spring.table]]
height = 80
force = "9.6 kN"
[[spring.table]]
height = 300
force = "4.9 kN"
[seat]
on = "axle"
along = 125
above = 35
[tyre]
loaded_radius = 336
[frame]
lowest_below = 15
front_height = 45
rear_height = 15
marks_apart = 3200
[four_link]
lower_along = 0
lower_above = 175
lower_length = 620
upper_along = 90
upper_above = 350
upper_length = 520
lower_eye_above = -90
upper_eye_above = 110
[stands]
front_along = -1800
rear_along = 1400
front_height = 425
rear_height = 400
tube = 76
[load]
wheel = "7000 N"
"""
