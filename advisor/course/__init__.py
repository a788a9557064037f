"""What happens inside the meat through every step, and what that does: the case walked through the science."""

from advisor.course.facts import course_facts
from advisor.course.walk import Course, walk

__all__ = ["Course", "course_facts", "walk"]
