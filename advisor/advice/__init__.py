"""From findings to advice: the verdict, the smallest mends, the plan and its clock."""
