"""Every clause of the reading rules' sections 1, 2, 3 and 5, and the tests that cover it."""

import re
from pathlib import Path

import pytest

CLAUSES = {
    # Moments, days, order
    "home zone": ["the_home_zone_is_the_persons_newest_then_the_first_entrys_then_utc"],
    "known from; only what was known by T": [
        "a_change_is_never_known_before_its_target",
        "a_reading_amended_from_52_to_25_is_known_as_each_in_its_time",
        "an_undone_entry_that_was_done_again_counts_except_in_between",
    ],
    "doubtful": [
        "a_time_is_doubtful_from_more_than_15_minutes_after_it_was_known",
        "a_doubtful_change_is_judged_by_its_own_known_moment",
        "a_doing_of_doubtful_time_counts_from_when_it_was_known_and_one_struck_out_not_at_all",
        "a_tube_of_doubtful_time_is_in_place_from_when_it_was_known",
    ],
    "order; a plan's by its from": [
        "held_entries_come_in_the_order_of_time_then_known_then_id",
        "plans_stand_in_the_order_of_their_from_not_of_being_written",
        "a_plan_written_with_the_same_from_later_is_the_newer",
        "a_tube_change_written_down_late_does_not_become_the_tube_in_place",
    ],
    "read together": ["what_became_known_at_the_same_moment_is_read_together"],
    "elapsed time in UTC": ["hours_are_elapsed_time_across_both_clock_changes"],
    "dates begin and end at home midnight": [
        "a_date_is_good_to_its_end_and_is_near_for_thirty_days",
        "days_are_the_home_zones",
    ],
    # In force
    "sides, struck, place": [
        "the_reading_is_the_one_the_rules_word",
        "any_order_of_arrival_gives_the_same_reading",
        "of_one_chain_never_more_than_one_entry_is_in_force",
        "a_withdrawn_change_gives_its_target_back",
        "an_amended_withdrawal_counts_as_the_amendment",
        "undo_and_redo_leave_the_entry_as_it_was",
    ],
    "rivals": [
        "of_two_sides_the_one_whose_place_was_recorded_last_wins_then_the_greater_id",
        "rivals_are_shown_until_one_side_is_left",
        "an_amendment_against_a_withdrawal_is_a_conflict_whichever_wins",
    ],
    "a change that doesn't fit": [
        "a_change_of_another_kind_has_no_effect",
        "a_ring_of_changes_is_never_in_force",
        "a_change_without_its_target_is_kept_without_effect_until_the_target_comes",
    ],
    "completion": [
        "a_completion_only_adds_what_nobody_had_given",
        "a_completion_may_add_inside_an_object_but_changes_nothing_there",
        "a_completion_of_a_correction_is_still_marked_as_corrected",
    ],
    "late by the first of the chain": ["late_is_judged_by_the_first_entry_of_the_chain"],
    "person": ["the_person_is_read_field_by_field_the_newest_that_gives_it"],
    "recorder": ["the_newest_recorder_of_a_set_of_initials_counts_and_two_names_are_both_shown"],
    "contacts": ["a_changed_number_is_an_amendment_and_all_contacts_in_force_are_shown"],
    "tube in place": ["a_failed_tube_change_changes_nothing_in_place"],
    "cuff": [
        "what_each_entry_says_of_the_cuff",
        "an_air_cuff_of_which_nothing_was_said_counts_as_up_and_so_it_does_with_no_tube",
    ],
    "put up": [
        "saying_up_again_is_no_cuff_put_up",
        "a_new_air_cuff_is_put_up_when_the_tube_before_had_none",
        "a_new_tube_after_a_cuff_that_was_down_is_put_up",
    ],
    # Due
    "doing": ["what_counts_as_doing_a_task", "nothing_needed_in_a_shift_is_no_doing"],
    "where": [
        "only_entries_that_match_where_do_a_task_and_a_stuck_inner_tube_does_not",
        "where_takes_true_for_true_only",
    ],
    "no task": [
        "a_cuff_pressure_is_asked_for_only_with_an_air_cuff",
        "a_cuff_put_up_moves_the_start_of_its_pressure_task_and_of_no_other",
        "nothing_is_asked_for_during_a_stay_and_its_end_moves_the_start",
    ],
    "start": [
        "a_task_that_stands_unchanged_in_a_new_plan_keeps_its_start",
        "a_task_that_was_gone_in_between_starts_anew",
        "the_end_of_a_stay_that_had_not_begun_moves_nothing",
        "after_a_new_plan_nothing_is_late_before_its_start_and_grace",
        "slots_before_the_start_are_not_asked_for",
    ],
    "every_h and quiet": [
        "dues_are_what_the_rules_word",
        "half_the_interval_before_the_quiet_hours_is_not_less_than_half",
        "a_quiet_span_holds_its_start_and_not_its_end_over_midnight_or_not",
        "a_task_has_its_own_quiet_hours_or_none_in_place_of_the_plans",
    ],
    "times": [
        "a_slot_in_the_gap_is_the_first_minute_after_it_and_a_doubled_one_the_first",
        "two_set_times_in_the_gap_are_one_slot",
        "set_times_are_asked_for_and_get_late_in_the_quiet_hours",
    ],
    "states": [
        "soon_begins_sixty_minutes_before_the_due",
        "a_task_by_hours_is_not_late_inside_its_quiet_span_but_at_its_end",
        "a_task_that_is_late_is_overdue_and_one_newly_overdue_is_late",
    ],
    "another plan": ["another_plan_takes_the_place_of_those_in_force_from_a_moment_on"],
    "a live reading": [
        "a_live_reading_takes_what_is_recorded_in_time_to_come_as_recorded_now_and_doubtful",
        "an_entry_whose_own_record_is_still_to_come_is_doubtful_though_it_happened_before",
    ],
    # Kit
    "age": ["a_tubes_age_is_in_local_days"],
    "catheter": [
        "the_catheter_sizes_of_the_table",
        "both_rules_hold_for_every_tenth_of_a_millimetre",
        "the_inner_tube_decides_where_there_is_one",
        "the_catheter_rules_are_for_adults",
        "without_a_plan_or_its_catheter_nothing_is_prescribed",
    ],
    "same and smaller": [
        "the_same_spare_has_the_inner_diameter_and_the_cuff_of_the_tube_in_place",
        "the_smaller_spare_is_smaller_by_the_plans_step_where_it_gives_one",
        "of_the_smallest_tube_no_smaller_spare_is_asked_for",
    ],
    "tube without cuff": ["of_a_tube_without_a_cuff_one_spare_has_one_as_the_plan_says_else_for_an_adult"],
    "missing": [
        "each_item_in_no_list_is_missing",
        "what_is_listed_as_missing_always_counts_even_beside_present",
        "a_spares_details_say_that_it_is_there",
        "a_syringe_is_needed_with_a_cuffed_tube_in_place_or_in_the_box",
        "inner_tubes_are_needed_with_an_inner_tube",
    ],
    "complete": [
        "a_box_with_everything_is_complete",
        "an_opened_item_is_there_but_the_box_is_not_complete",
        "when_the_tube_changes_the_box_is_out_of_date_at_once",
        "what_nobody_checked_is_never_complete",
    ],
    "dates of the newest check only": ["a_later_check_without_dates_drops_those_of_the_one_before"],
    "use": ["what_each_entry_uses_up"],
    "per day": [
        "use_a_day_is_over_the_recorded_days_of_the_last_fourteen_full_ones",
        "a_day_without_an_entry_of_care_is_no_recorded_day",
        "where_the_record_knows_no_use_the_newest_that_was_entered_counts",
    ],
    "count": [
        "the_count_is_the_last_count_with_what_came_and_went_since",
        "without_a_count_the_number_left_is_unknown",
    ],
    "days left and order day": [
        "the_order_day_is_when_days_left_fall_to_lead_time_and_reserve_rounded_down",
        "without_use_there_are_no_days_left_to_count",
    ],
}


def _written() -> set[str]:
    here = Path(__file__).parent
    found: set[str] = set()
    for module in here.glob("test_*.py"):
        found |= set(re.findall(r"^def test_(\w+)\(", module.read_text("utf-8"), re.MULTILINE))
    return found


@pytest.mark.parametrize("clause", CLAUSES)
def test_each_clause_has_its_tests(clause: str) -> None:
    assert CLAUSES[clause]
    assert set(CLAUSES[clause]) <= _written()


def test_a_test_that_is_not_there_would_be_missed() -> None:
    assert "a_sentence_that_no_test_says" not in _written()
