"""What the lessons in workbooks/lessons call: questions with their checks, pictures with sliders.

A folder a lesson: `leaving` for the Moon, `stacking` what goes there, `closing` a plan that does
not close. `answers` judges what a learner wrote.
"""
