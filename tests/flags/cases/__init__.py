"""What each rule of care must do, case by case: (rule, the lines of a household, its flags)."""
