"""Floor 4: reporting duties of a case, reckoned from what it states, the clocks as data, and the date of the check.

Pure. Holidays come from the library `holidays`, imported only where work days are counted.
"""

from asfound.duties.calendars import federal_holidays
from asfound.duties.counting import calendar_days, hours, new_year, work_days, years_later
from asfound.duties.reckon import reckon

__all__ = ["calendar_days", "federal_holidays", "hours", "new_year", "reckon", "work_days", "years_later"]
