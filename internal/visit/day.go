package visit

import "sootline"

// Day is a day of the site's calendar.
type Day = sootline.Day

// DayOf gives the day on which an instant falls in a time zone.
var DayOf = sootline.DayOf

// Date gives a day by year, month and day of the month.
var Date = sootline.Date
