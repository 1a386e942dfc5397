"""The small house on which several ledgers of the tests stand, as a grower types it; the place is invented."""

SITE = """\
[site]
latitude = 46
longitude = 11
elevation = "1200 m"
timezone = "Europe/Rome"
"""
GABLE = """\
[house]
form = "gable"
length = "12 m"
width = "5 m"
side_height = "2 m"
ridge_height = "3.4 m"
"""
