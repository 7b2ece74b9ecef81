#pragma once

// All wording of findings and sheets, in English: a section for each module that says something. A
// second language is another file like this one, with the same names
// (docs/decisions/0051-one-catalogue-of-wording.md). `{}` stands for a value: the places may be put
// in another order by numbers ({0}, {1}), and are checked when compiled. Names say what a text is
// for; a text used for two things has two names if another language would tell them apart.

// Limits, as code packs and the house have them.
namespace holdwarden::codes::msg {

// limit
inline constexpr const char* at_or_above = "{} or above";
inline constexpr const char* above = "above {}";
inline constexpr const char* at_or_below = "{} or below";
inline constexpr const char* below = "below {}";
inline constexpr const char* about = "about {:.1f} {}";

// house
inline constexpr const char* house_clause = "house limit, {} ({})";
inline constexpr const char* variance_clause = "variance {}, {} ({})";
inline constexpr const char* house_looser =
    "the house limit for {} ({}) is looser than the code's ({})";
inline constexpr const char* house_no_target = "{} has no target temperature of its own";
inline constexpr const char* pack_lacks_requirement = "the code pack {} has no requirement '{}'";
inline constexpr const char* house_cannot_be_made =
    "a house limit for {} cannot be made of what is given";

} // namespace holdwarden::codes::msg

// What findings say: reasons, what would settle them, notes, what to do.
namespace holdwarden::judge::msg {

// stages, ends, ovens
inline constexpr const char* stage_preparing = "preparing";
inline constexpr const char* stage_initial_heating = "initial heating";
inline constexpr const char* stage_cooking = "cooking";
inline constexpr const char* stage_resting = "resting";
inline constexpr const char* stage_hot_holding = "hot holding";
inline constexpr const char* stage_cooling = "cooling";
inline constexpr const char* stage_cold_holding = "cold holding";
inline constexpr const char* stage_frozen = "frozen";
inline constexpr const char* stage_thawing = "thawing";
inline constexpr const char* stage_reheating = "reheating";
inline constexpr const char* stage_time_control = "time control";
inline constexpr const char* outcome_served = "served";
inline constexpr const char* outcome_discarded = "discarded";
inline constexpr const char* outcome_split = "split";
inline constexpr const char* outcome_merged = "merged";
inline constexpr const char* outcome_handed_on = "handed on";
inline constexpr const char* oven_still_dry = "still dry oven";
inline constexpr const char* oven_convection = "convection oven";
inline constexpr const char* oven_high_humidity = "high-humidity oven";

// requirements
inline constexpr const char* req_initial_heating = "First heating, in part";
inline constexpr const char* req_cooking = "Cooking";
inline constexpr const char* req_cooking_roast = "Cooking, roast table";
inline constexpr const char* req_hot_holding = "Hot holding";
inline constexpr const char* req_hot_holding_roast = "Hot holding, roast";
inline constexpr const char* req_cooling_first = "Cooling, first window";
inline constexpr const char* req_cooling_second = "Cooling, second window";
inline constexpr const char* req_cooling_total = "Cooling, total time";
inline constexpr const char* req_cooling_ambient = "Cooling from room temperature";
inline constexpr const char* req_cold_holding = "Cold holding";
inline constexpr const char* req_reheating = "Reheating";
inline constexpr const char* req_reheating_time = "Reheating time";
inline constexpr const char* req_time_control = "Time as a public health control";
inline constexpr const char* req_time_control_ceiling = "Time control, highest temperature";
inline constexpr const char* req_date_mark = "Date marking";
inline constexpr const char* req_come_up = "Coming up to temperature";
inline constexpr const char* req_largest_interval = "Largest interval between readings";

// adopted
inline constexpr const char* limit_a_reading_every = "a reading at least every {}";
inline constexpr const char* no_reading_in_food = "No reading in the food is on record.";
inline constexpr const char* no_longer_silence = "No silence is longer than {}.";
inline constexpr const char* pack_stands_in = "{} By {}, which stands in for it: {}. {}";
inline constexpr const char* house_silence =
    "No reading from {} to {} ({}), and the house wants one every {}.";
inline constexpr const char* house_silence_trusted =
    "No reading to be trusted from {} to {} ({}), and the house wants one every {}.";
inline constexpr const char* house_limit_not_judged = "{}: the house limit is not judged here: {}.";
inline constexpr const char* act_on_house_limit =
    "The house limit is missed; the code's is judged beside it. Correct the unit, and write down "
    "what was done.";
inline constexpr const char* act_read_as_often =
    "Take and log readings as often as the house wants them.";
inline constexpr const char* left_band_upwards =
    "Point {} left its target band of {} to {} upwards in {} from {}; highest {} at {}. A matter "
    "of eating quality: no verdict hangs on it.";
inline constexpr const char* left_band_downwards =
    "Point {} left its target band of {} to {} downwards in {} from {}; lowest {} at {}. A matter "
    "of eating quality: no verdict hangs on it.";

// answers
inline constexpr const char* needed_control = "how control was regained";
inline constexpr const char* needed_prevention = "what is done against its coming back";
inline constexpr const char* needed_held_apart = "how the food was held apart";
inline constexpr const char* needed_acceptability = "the review whether the food may be served";
inline constexpr const char* needed_reassessment = "the reassessment of the plan";
inline constexpr const char* needed_reheating_stage =
    "a reheating stage with readings that show it";
inline constexpr const char* needed_cooling_stage = "a cooling stage with readings that show it";
inline constexpr const char* reheating_is = "readings that show it: the reheating is {}";
inline constexpr const char* cooling_is = "readings that show it: the cooling is {}";
inline constexpr const char* needed_amount = "how much of the food is concerned";
inline constexpr const char* needed_disposition = "what became of the food";
inline constexpr const char* needed_decision = "the decision on the food held";
inline constexpr const char* found_wanting = "what {} found wanting: {}";
inline constexpr const char* needed_fitting_disposition =
    "a disposition that fits the lot's end: it was {}";
inline constexpr const char* needed_after_return =
    "what was done when it went wrong again after this";
inline constexpr const char* needed_cause = "the cause";
inline constexpr const char* answer_none = "unanswered";
inline constexpr const char* answer_incomplete = "incomplete";
inline constexpr const char* answer_given = "answered";
inline constexpr const char* answer_closed = "closed";
inline constexpr const char* answer_no_longer_raised = "no longer raised";

// check_notes
inline constexpr const char* no_check_on_record = "The thermometer has no check on record.";
inline constexpr const char* not_checked_before = "{} had not been checked before.";
inline constexpr const char* check_had_failed =
    "{} had failed its last check ({}, {}) and was used nevertheless.";
inline constexpr const char* check_was_due = "A check of {} was due {} and had not been made.";
inline constexpr const char* unchecked_reading_one = "{} reading by {} with no good check in date.";
inline constexpr const char* unchecked_reading_many =
    "{} readings by {} with no good check in date.";

// come_up
inline constexpr const char* not_read_while_heated =
    "No reading was taken in the food while it was heated.";
inline constexpr const char* leave_and_reach =
    "Readings that show it leave {} and reach {} would settle it.";
inline constexpr const char* food_left = "The food left {}";
inline constexpr const char* reading_at_or_below = "a reading at or below {}";
inline constexpr const char* still_below = "still below {}";
inline constexpr const char* cook_runs_on =
    "The cook from {} is not shown to meet its table, so that its clock runs on through this one.";

// conformity
inline constexpr const char* zone_pass = "pass";
inline constexpr const char* zone_conditional_pass = "conditional pass";
inline constexpr const char* zone_conditional_fail = "conditional fail";
inline constexpr const char* zone_fail = "fail";

// cooking in two steps
inline constexpr const char* limit_first_heating_within =
    "heated for the first time within {}, then cooled at once";
inline constexpr const char* limit_first_heating_less_than =
    "heated for the first time in less than {}, then cooled at once";
inline constexpr const char* heated_from_to =
    "Heated from {} to {}: {} in all; the code allows {}.";
inline constexpr const char* heated_since = "Heated since {}, {} in all; the code allows {}.";
inline constexpr const char* cooling_by_settles = "Cooling begun by {} will settle it.";
inline constexpr const char* not_cooled_at_once =
    "It was to be cooled at once, and went to {} at {}.";
inline constexpr const char* first_heating_cooks_nothing =
    "A first heating cooks nothing through, whatever it reached: the full cook has a stage of its "
    "own.";
inline constexpr const char* no_full_cook_yet = "Heated in part; no full cook is on record yet.";
inline constexpr const char* full_cook_settles = "A full cook before it is served will settle it.";
inline constexpr const char* served_half_cooked =
    "Heated in part and served at {}; no full cook is on record.";
inline constexpr const char* gone_half_cooked = "Heated in part and {} at {}, before a full cook.";

// cooling
inline constexpr const char* cooling_attempt = "Cooling attempt {}.";
inline constexpr const char* broken_off_by_reheat =
    "Broken off at {} by a reheat that met the code, before the time ran out: a note, not a "
    "verdict.";
inline constexpr const char* broken_off_by_cook =
    "Broken off at {} by a cook that met the code, before the time ran out: a note, not a verdict.";
inline constexpr const char* still_above = "still above {}";
inline constexpr const char* food_fell_below = "The food fell below {}";
inline constexpr const char* reading_at_or_above = "a reading at or above {}";
inline constexpr const char* record_of_start = "a record of the start";
inline constexpr const char* no_reading_taken = "No reading was taken in the food.";
inline constexpr const char* would_take_both = "It would take {} and one at {} in time.";
inline constexpr const char* begun_within = "{} begun within {} of the {}";
inline constexpr const char* begun_in_less_than = "{} begun in less than {} of the {}";
inline constexpr const char* no_record_before = "No record of the {} before it.";
inline constexpr const char* chilling_began =
    "The cook ended at {} and chilling began at {}: {}; the code allows {}.";
inline constexpr const char* end_of_first_window = "end of the first window";
inline constexpr const char* start_of_cooling = "start of cooling";
inline constexpr const char* first_window_ended = "The first window ended";
inline constexpr const char* cooling_began = "Cooling began";
inline constexpr const char* end_of_cooking = "end of cooking";
inline constexpr const char* cook_ended = "The cook ended";
inline constexpr const char* not_read_since_heated_again =
    "It was heated again, and nobody read it while it cooled after that.";
inline constexpr const char* left_in_heating =
    "It was hot ({}) until {}, fell below that while it was still said to be heated, and stayed so for "
    "longer than {}.";
inline constexpr const char* left_in_preparing =
    "It was prepared from {} to {} and then kept on as before. Nothing shows it at {} for {} of that; no "
    "more than {} pass as preparing.";
inline constexpr const char* no_rule_for_time =
    "It was held by time, for which this code has no rule: it was to be kept at {}, and that is not "
    "shown.";
inline constexpr const char* roast_reheat_not_earned =
    "The reheat of a roast ({}) is not earned: {}.";
inline constexpr const char* roast_reheat_oven = "The reheat of a roast ({}) asks for its oven: {}.";
inline constexpr const char* perhaps_never_cold =
    "It was to be cooled before, and was not read often enough to tell whether it stayed hot.";
inline constexpr const char* reheat_ended = "The reheat ended";

// corrected
inline constexpr const char* left_out_worse =
    "This is with the readings left out that were set aside; as recorded: {}.";
inline constexpr const char* as_recorded_worse =
    "This is as recorded; with the readings left out that were set aside: {}. It stays so until a "
    "second person verifies.";
inline constexpr const char* confirmed_one = "{} reading confirmed by {} ({}): it counts fully.";
inline constexpr const char* confirmed_many = "{} readings confirmed by {} ({}): they count fully.";
inline constexpr const char* set_aside_one =
    "{} reading set aside by {} ({}): no second person has verified this yet.";
inline constexpr const char* set_aside_many =
    "{} readings set aside by {} ({}): no second person has verified this yet.";
inline constexpr const char* set_aside_verified_one =
    "{} reading set aside by {} ({}), verified by {}: it leaves a gap.";
inline constexpr const char* set_aside_verified_many =
    "{} readings set aside by {} ({}), verified by {}: they leave a gap.";
inline constexpr const char* came_later_one =
    "{} reading between them came in after {} had marked them: the mark is not on it.";
inline constexpr const char* came_later_many =
    "{} readings between them came in after {} had marked them: the mark is not on them.";
inline constexpr const char* with_set_aside =
    "With the readings that were set aside and verified, this is: {}.";
inline constexpr const char* reading_amended = "The reading at {} is amended ({}: {}).";
inline constexpr const char* reading_amended_value =
    "The reading at {} is amended: {}, was {} ({}: {}).";
inline constexpr const char* amended_decide = "Amended entries decide this; as first recorded: {}.";
inline constexpr const char* amendment_one = "{} amendment to this record";
inline constexpr const char* amendment_many = "{} amendments to this record";
inline constexpr const char* amended_same = "{}; as first recorded, the verdict is the same: {}.";
inline constexpr const char* amended_other = "{}; as first recorded, the verdict is {}.";

// date_mark
inline constexpr const char* limit_days = "{} days at {}, the day of making counted as day 1";
inline constexpr const char* days_over =
    "Made on {}; the last day was {}, and it was {} on {} (day {}).";
inline constexpr const char* still_kept = "still kept";
inline constexpr const char* days_open =
    "Made on {}, today is day {}; use or discard by the end of {}.";
inline constexpr const char* end_will_settle = "A record of its end by {} will settle it.";
inline constexpr const char* days_met = "Made on {}, {} on {}, day {}; the last day was {}.";
inline constexpr const char* made_before_recorded =
    "Its day of making is on record as {}, but {} began on {}: the earlier day is day 1.";
inline constexpr const char* frozen_days = "{} frozen days are not counted.";

// due
inline constexpr const char* due_taken_out = "taken out at {}";
inline constexpr const char* due_last_day = "day 1 was {}, the last day is {} (day {})";
inline constexpr const char* due_interval = "{}: no more than {} between readings";

// flags
inline constexpr const char* act_as_missed =
    "Act as if it were not met: the record cannot prove otherwise.";
inline constexpr const char* act_where_it_went =
    "It was {} at {}: what it became carries this on; act there.";
inline constexpr const char* common_practice = "common practice, no source";
inline constexpr const char* act_tell_person_in_charge =
    "It was {} at {}: tell the person in charge, and write down what is known and what was done "
    "with the food.";
inline constexpr const char* act_find_cause =
    "Find the cause before the next lot goes the same way.";
inline constexpr const char* act_get_pack = "Get the pack this food was under, and judge it again; "
                                            "till then act as its kitchen's code asks "
                                            "where nothing is shown.";
inline constexpr const char* act_set_aside =
    "Set the food aside, ask the person in charge, and write down what is done with it.";

// hold
inline constexpr const char* was_below = "Below {} from {} at the latest, until {} at the "
                                         "earliest: at least {}, at most {}; worst {} at {}.";
inline constexpr const char* was_above = "Above {} from {} at the latest, until {} at the "
                                         "earliest: at least {}, at most {}; worst {} at {}.";
inline constexpr const char* stretches_in_all = "{} such stretches in all.";
inline constexpr const char* gap_in_hold =
    "No reading vouches for {} to {} ({}), and the largest interval is {}.";
inline constexpr const char* reading_by_would = "A reading by {} would have settled it.";
inline constexpr const char* inside_accuracy_or_suspect =
    "At least one reading is on the right side of {} by less than the thermometer's accuracy, or "
    "is suspect.";
inline constexpr const char* one_suspect =
    "At least one reading is suspect, and a suspect reading is never counted for the food.";
inline constexpr const char* confirming_would =
    "A person confirming the suspect readings, or a more accurate thermometer, would settle it.";
inline constexpr const char* none_on_right_side =
    "No reading in the food shows it on the right side.";
inline constexpr const char* one_is_no_hold = "One reading proves an instant, not a hold.";
inline constexpr const char* carry_on_proof = "A reading at {} by {} will carry on the proof.";
inline constexpr const char* readings_every_would =
    "Readings at {} at least every {} would have settled it.";
inline constexpr const char* hold_met_hot =
    "{} readings from {} to {}, none below the limit; nearest {} at {}, largest silence within {}.";
inline constexpr const char* hold_met_cold =
    "{} readings from {} to {}, none above the limit; nearest {} at {}, largest silence within {}.";
inline constexpr const char* roast_limit_not_earned =
    "The lower limit for roasts is not earned ({}), so {} stands.";

// hypotheses
inline constexpr const char* by_check_before =
    "With what {} showed corrected by {}, as the check before says: {}";
inline constexpr const char* by_check_after =
    "With what {} showed corrected by {}, as the check after says: {}";
inline constexpr const char* by_failed_check =
    "{} failed the check that followed. Corrected by the error found ({}): {}";
inline constexpr const char* when_not_known =
    "When it went wrong is not known, so that nothing is shown here.";

// judge
inline constexpr const char* row_not_needed =
    "Not needed: the food may also be cooked by the {} row, which counts here.";
inline constexpr const char* an_alternative = "An alternative: option {} counts here.";
inline constexpr const char* no_limit_for_stage =
    "This code pack has no limit for {} of this food: that stage is not judged, and no verdict "
    "here speaks for it.";
inline constexpr const char* perhaps_stuck =
    "Point {} showed one value {} times from {} to {}: see whether the probe is stuck.";
inline constexpr const char* suspect_one =
    "{} suspect reading: counted against the food, never for it, until a person confirms.";
inline constexpr const char* suspect_many =
    "{} suspect readings: counted against the food, never for it, until a person confirms.";
inline constexpr const char* clock_changes_unknown =
    "Local times after 2037 follow no listed clock changes and may be an hour off.";
inline constexpr const char* ended_in_time =
    "It was {} at {}, in time; what it became carries the time on.";
inline constexpr const char* record_carried_on =
    "It was {} at {}: what it became carries its record on.";
inline constexpr const char* record_carried_on_elsewhere =
    "It was {} at {}: the kitchen it went to carries its record on.";
inline constexpr const char* by_agreed_checks =
    "Judged with what {} showed corrected by what the checks before and after agree on.";
inline constexpr const char* nothing_judged =
    "Nothing in this record is judged by this code pack, so it proves nothing.";

// merged
inline constexpr const char* merged_from =
    "Merged from {}: judged as each of them lived, and the worst counts.";
inline constexpr const char* began_before_merging = "It began in {}, before the merging.";
inline constexpr const char* worst_of_sources = "The worst of its sources: {}.";

// reach
inline constexpr const char* kept_for = "{} for {}";
inline constexpr const char* row_or_one = "{}, or 1 other row";
inline constexpr const char* row_or_many = "{}, or one of {} other rows";
inline constexpr const char* value_at = "{} at {}";
inline constexpr const char* not_read_in_stage =
    "No reading was taken in the food during this stage.";
inline constexpr const char* reading_would_have = "A reading at {} would have settled it.";
inline constexpr const char* row_reached = "Reached {}: {}.";
inline constexpr const char* row_kept =
    "At or above {} from {} to {}: at least {}, and {} is asked for.";
inline constexpr const char* not_there_yet = "Not there yet: the hottest reading is {}.";
inline constexpr const char* reading_will = "A reading at {} will settle it.";
inline constexpr const char* no_row_kept =
    "The hottest reading is {}; no row of the table is reached and kept.";
inline constexpr const char* row_not_shown = "The readings show at least {} and at most {} at or "
                                             "above {}, and {} is asked for; the hottest is {}.";
inline constexpr const char* two_readings_would_have =
    "Two readings at {}, at least {} and at most {} apart, would have settled it.";
inline constexpr const char* readings_over_would_have =
    "Readings at {}, at most {} apart, over at least {} would have settled it.";
inline constexpr const char* oven_air_read = "the unit's air read {}, and {} is asked for";
inline constexpr const char* oven_air_never =
    "the unit's air was never at {}; the last reading was {}";
inline constexpr const char* oven_air_silent =
    "the unit's air readings leave more than {} of the cook unproven";
inline constexpr const char* oven_kind_unknown =
    "no record of how the oven heats (still dry, convection or high humidity)";
inline constexpr const char* oven_row_lacking = "no oven row fits the kind and the weight";
inline constexpr const char* oven_weight_unknown =
    "the raw weight is not recorded, and no oven row fits every weight";
inline constexpr const char* oven_not_recorded =
    "neither air readings nor a setting of the oven are recorded";
inline constexpr const char* oven_set_too_low = "the oven was set to {}, and a {} needs {}";
inline constexpr const char* oven_condition = "Oven condition: {}.";
inline constexpr const char* row_without_oven =
    "The roast row is reached, but not with its oven condition: {}.";
inline constexpr const char* row_needs_oven = "The roast row also needs its oven condition: {}.";
inline constexpr const char* no_cook_on_record = "no cook of the roast is on record";
inline constexpr const char* was_cut = "it was sliced, pulled or portioned at {}";

// receiving
inline constexpr const char* receipt_state_unknown =
    "nobody said whether it was found frozen or thawed";
inline constexpr const char* receipt_thawed = "it was found thawed";
inline constexpr const char* receipt_frozen_but = "it was said to be frozen solid, but {} was read";
inline constexpr const char* receipt_frozen = "it was found frozen solid";
inline constexpr const char* receipt_not_asked = "no temperature is asked for";
inline constexpr const char* receipt_no_rule = "{} says nothing here about food received {}";
inline constexpr const char* received_cold = "cold";
inline constexpr const char* received_hot = "hot";
inline constexpr const char* received_frozen = "frozen";
inline constexpr const char* receipt_not_measured = "its temperature was not measured";
inline constexpr const char* receipt_read = "{} was read; the limit is {}";
inline constexpr const char* air_no_hot_limit = "{} has no limit for hot-held food here";
inline constexpr const char* air_no_cold_limit = "{} has no limit for cold-held food here";
inline constexpr const char* air_right_side = "The air is on the right side of the limit for food, "
                                              "{} ({}). Air is no proof of what food is at.";
inline constexpr const char* air_wrong_side =
    "The air is on the wrong side of the limit for food, {} ({}). Measure the food itself now.";

// reheat
inline constexpr const char* not_read_while_reheated =
    "No reading was taken in the food while it was reheated.";
inline constexpr const char* reading_would = "A reading at {} would settle it.";
inline constexpr const char* hottest = "The hottest reading is {}.";
inline constexpr const char* hottest_kept =
    "The hottest reading is {}; at or above {} for at least {}.";
inline constexpr const char* hottest_not_shown =
    "The hottest reading is {}; at or above {} for at least {} and at most {}.";
inline constexpr const char* hottest_asked = "The hottest reading is {}; {} is asked for.";
inline constexpr const char* start_of_reheating = "start of reheating";
inline constexpr const char* reheating_began = "Reheating began";
inline constexpr const char* reading_at_start = "a reading at the start";
inline constexpr const char* but_not_kept = "But no reading shows it kept there for {}.";
inline constexpr const char* reheat_number = "Reheat number {}, and the code allows {}. {}";

// time_control
inline constexpr const char* ceiling_missed = "The food read {} at {}, above {}.";
inline constexpr const char* not_read_while_out = "No reading was taken while the food was out.";
inline constexpr const char* unproven_while_out =
    "The readings while the food was out leave a stretch unproven.";
inline constexpr const char* readings_would = "Readings at {} at least every {} would settle it.";
inline constexpr const char* warmest_reading = "The warmest reading was {} at {}.";
inline constexpr const char* hot_start_four_hours =
    "A hot start never gets the six-hour form; the four-hour form is judged instead.";
inline constexpr const char* not_all_six_hours =
    "Not every spell is of the six-hour form; the four-hour form is judged instead.";
inline constexpr const char* limit_started = "{}, started {}";
inline constexpr const char* cold_or_hot = "{} or {}";
inline constexpr const char* wrong_start = "It did not start at {}: {} at {}.";
inline constexpr const char* before_it_missed = "The {} before it was not met.";
inline constexpr const char* before_it_not_met =
    "The {} before it was not met and not answered by a reheat.";
inline constexpr const char* went_back =
    "At {} it went back to {}; food held by time is served or discarded.";
inline constexpr const char* second_spell =
    "It was held by time a second time, and only one spell is allowed.";
inline constexpr const char* out_too_long = "It was out for {}; the code allows {}.";
inline constexpr const char* may_add_up_to =
    "All times at neither {} nor {} add up: by the record {}; the code allows {}.";
inline constexpr const char* may_not_go_back =
    "At {} it went back to {}, and the record does not show that the times before it add up to {}.";
inline constexpr const char* still_there =
    "The time ran out at {}, and the food was still there at {} ({}).";
inline constexpr const char* ran_out_unrecorded =
    "The time ran out at {}, and no record says that it was served or discarded.";
inline constexpr const char* end_would_have = "A record of its end {} would have settled it.";
inline constexpr const char* end_in_time_will = "A record of its end {} will settle it.";
inline constexpr const char* start_not_shown =
    "No good reading within {} before the start shows it at {}.";
inline constexpr const char* reading_at_start_would_have =
    "A reading at the start would have settled it.";
inline constexpr const char* before_it_not_shown = "The {} before it is not shown.";
inline constexpr const char* serve_by = "Serve or discard {}, in {}.";
inline constexpr const char* by_then = "by {}";
inline constexpr const char* before_then = "before {}";
inline constexpr const char* no_end_recorded = "No record says that it was served or discarded.";
inline constexpr const char* end_would = "A record of its end {} would settle it.";
inline constexpr const char* out_and_ended = "Out for {}, {} at {}.";
inline constexpr const char* out_and_back = "Out for {}, then back at {}.";

// verdict
inline constexpr const char* verdict_met = "met";
inline constexpr const char* verdict_not_met = "not met";
inline constexpr const char* verdict_not_shown = "not shown";
inline constexpr const char* verdict_open = "open";
inline constexpr const char* verdict_ended = "ended";

// window
inline constexpr const char* unknown_time = "an unknown time";
inline constexpr const char* between = "between {} and {}";
inline constexpr const char* at_least = "at least {}";
inline constexpr const char* straight_line =
    "A straight line between the readings would give {}: an estimate, not judged.";
inline constexpr const char* within = "within {}";
inline constexpr const char* less_than = "less than {}";
inline constexpr const char* limit_within = "{} to {} within {}";
inline constexpr const char* limit_in_less_than = "{} to {} in less than {}";
inline constexpr const char* reached_in_time =
    "{} no earlier than {} and {} was reached by {}: at most {}; the code allows {}.";
inline constexpr const char* reached_late =
    "{} by {} and was {} at {}: longer than {}; the code allows {}.";
inline constexpr const char* start_unknown =
    "No earlier reading shows when the clock started; {} was reached by {}.";
inline constexpr const char* would_take_before = "It would take {}, not more than {} before {}.";
inline constexpr const char* none_clears_accuracy =
    "No reading clears the limit by the thermometer's accuracy ({}), so the guarded rule cannot "
    "call it shown.";
inline constexpr const char* only_suspect_show =
    "What would show it ({}) is suspect, and a suspect reading is never counted for the food.";
inline constexpr const char* one_more_past_accuracy =
    "One more reading past {} by the accuracy, before {}, can settle it.";
inline constexpr const char* reading_past_accuracy_would =
    "A reading that clears the limit by the accuracy, in time, would have settled it.";
inline constexpr const char* reached_between =
    "{} between {} and {}, and {} was reached between {} and {}: that is {}; the code allows {}.";
inline constexpr const char* reading_past_would =
    "A reading at {} or past it by {} would have settled it.";
inline constexpr const char* window_ended =
    "It ended at {}, before the time ran out: at least {} of {} was left.";
inline constexpr const char* window_open =
    "{} is not reached yet. Counted from the worst case, the time allowed runs out at {}, in {}.";
inline constexpr const char* reading_past_will = "A reading at {} or past it by {} will settle it.";
inline constexpr const char* unreached_late =
    "{} by {} and was {} at {}: {} or more; the code allows {}.";
inline constexpr const char* nothing_shown =
    "No reading shows when the clock started, and none shows {} reached.";
inline constexpr const char* would_take_at_start = "It would take {} before the start.";
inline constexpr const char* unreached_not_shown =
    "Counted from the worst case, the time allowed ran out at {}, and no reading shows {} reached "
    "by then.";

// words
inline constexpr const char* more_than_0_999 = "more than 0.999";
inline constexpr const char* less_than_0_001 = "less than 0.001";
inline constexpr const char* chance_of_right_side =
    "{} that it truly lies on the right side (normal error, U = ± {:.1f} {} with k = 2: {}). It "
    "informs and never judges.";
inline constexpr const char* no_roast_row_kept = "No row of the roast table was reached and kept.";
inline constexpr const char* longest_by_roast_row =
    "The longest unbroken time by the roast table: {} at {} ({} asked).";
inline constexpr const char* cook_claims =
    "{} A separate claim: integrated over the readings from 130 °F up, {:.1f} log10 of Salmonella, "
    "as {:.1f} min at 140 °F (a line through the table's own figures). Both are for a process "
    "authority; neither is a verdict.";

} // namespace holdwarden::judge::msg

// Sheets.
namespace holdwarden::sheets::msg {

inline constexpr const char* language = "en"; ///< BCP 47, for HTML's lang and PDF's Lang

// Foods.
inline constexpr const char* treated_as_not_met = "{}, treated as not met";
inline constexpr const char* as_a_note = "{} (note)";
inline constexpr const char* food_intact_roast = "intact roast";
inline constexpr const char* food_whole_cut = "whole cut";
inline constexpr const char* food_ground = "ground meat";
inline constexpr const char* food_injected = "injected or mechanically tenderized meat";
inline constexpr const char* food_poultry = "poultry";
inline constexpr const char* food_stuffed = "stuffed food";
inline constexpr const char* food_fish = "fish";
inline constexpr const char* food_eggs = "eggs";
inline constexpr const char* food_game = "game";
inline constexpr const char* food_plant = "plant food";
inline constexpr const char* food_packaged = "packaged ready-to-eat food";
inline constexpr const char* food_other = "other food that needs time and temperature control";

inline constexpr const char* of_the_house = "{} (house limit)";

// Head and foot of every sheet.
inline constexpr const char* site = "Site";
inline constexpr const char* food = "Food";
inline constexpr const char* period = "Period";
inline constexpr const char* time_zone = "Time zone";
inline constexpr const char* came_from = "Taken in from";
inline constexpr const char* came_from_kitchen = "{}, handed on at {}, taken in at {}; its file: "
                                                 "SHA-256 {}, signed with key {}. What bears that "
                                                 "kitchen's name was read, done and entered there.";
inline constexpr const char* judged_by = "Judged by";
inline constexpr const char* lot_judged_by =
    "This lot is judged by {}, edition {} ({}), largest interval {}.";
inline constexpr const char* stages_judged_by =
    "Stages that began from {} on are judged by {}, edition {} ({}), largest interval {}.";
inline constexpr const char* house_beside = "By the house's own limits, beside the code: {}.";
inline constexpr const char* between_limits =
    "Time between the cold and the hot limit over the lot's whole life: {}.";
inline constexpr const char* cook_of_point = "Point {}, the cook from {}. {}";
inline constexpr const char* chance = "Chance";
inline constexpr const char* code_edition = "{}, edition {} ({})";
inline constexpr const char* decision_rule = "Decision rule";
inline constexpr const char* rule_as_read =
    "as read: each reading itself is compared with the limit";
inline constexpr const char* rule_guarded =
    "guarded: the thermometer's stated accuracy is kept away from the limit";
inline constexpr const char* clocks = "Clocks";
inline constexpr const char* page_of = "page {} of {}";
inline constexpr const char* page = "page";
inline constexpr const char* source = "Source: {}";
inline constexpr const char* not_said = "not said";

// Times.
inline constexpr const char* range = "{} to {} ({})";
inline constexpr const char* clocks_go_back =
    "the clocks go back from {} to {}, and what lies between occurs twice: the offset tells which";
inline constexpr const char* clocks_go_forward = "the clocks go forward from {} to {}";
inline constexpr const char* hours = "{} hours";
inline constexpr const char* day_has = "{} has {}: {}.";
inline constexpr const char* chart_clocks_back = "clocks back {}";
inline constexpr const char* chart_clocks_forward = "clocks forward {}";

// What to do.
inline constexpr const char* what_to_do = "What to do";
inline constexpr const char* nothing_asked = "Nothing is asked: keep the record.";
inline constexpr const char* go_on_measuring =
    "Go on measuring: the time allowed has not run out, and only further readings can settle it.";
inline constexpr const char* no_advice = "The code pack holds no advice for this: decide with the "
                                         "person in charge, and write down what was done.";
inline constexpr const char* no_lot_advice =
    "No lot has advice of its own: see each lot for what would settle it.";
inline constexpr const char* at_once = "At once";
inline constexpr const char* act_by = "By {}";
inline constexpr const char* done_by = "Done by";
inline constexpr const char* done_at = "Time";
inline constexpr const char* done_what = "What was done, what became of the food";

// Verdict line and why.
inline constexpr const char* why = "Why";
inline constexpr const char* nothing_judged = "Nothing recorded could be judged.";
inline constexpr const char* findings_are = "Findings: {}.";
inline constexpr const char* below_hot_together =
    "Time below the hot limit in rests, holds and displays together: {}.";
inline constexpr const char* all_findings = "All findings, worst first";
inline constexpr const char* requirement = "Requirement";
inline constexpr const char* verdict = "Verdict";
inline constexpr const char* limit = "Limit";
inline constexpr const char* record_shows = "The record shows";
inline constexpr const char* margin = "Margin";
inline constexpr const char* no_margin = "none";
inline constexpr const char* margin_with_accuracy = "{}; thermometer ±{}";
inline constexpr const char* lowest_at = "lowest {} at {}";
inline constexpr const char* highest_at = "highest {} at {}";
inline constexpr const char* more = "{} more";
inline constexpr const char* below_for = "below for {}";
inline constexpr const char* above_for = "above for {}";
inline constexpr const char* no_reading_for = "no reading for {}";
inline constexpr const char* no_reading_decides = "no reading decides it";
inline constexpr const char* below_the_limit = "below the limit";
inline constexpr const char* above_the_limit = "above the limit";
inline constexpr const char* excursion = "{}; worst {} at {}; {:.0f} degree-minutes ({})";
inline constexpr const char* gap = "No reading";
inline constexpr const char* would_settle = "Would settle it";
inline constexpr const char* deciding_readings = "The readings that decide it";
inline constexpr const char* notes_on_met = "Notes on what is met";
inline constexpr const char* on_the_limit = "on the limit";
inline constexpr const char* inside_the_limit = "{} inside the limit";
inline constexpr const char* outside_the_limit = "{} outside the limit";
inline constexpr const char* exactly_the_time = "exactly the time allowed";
inline constexpr const char* inside_the_time = "{} inside the time";
inline constexpr const char* outside_the_time = "{} outside the time";
inline constexpr const char* from_to = "{} to {}";
inline constexpr const char* at_most_unknown = "at least {}, at most unknown";
inline constexpr const char* at_least_unknown = "at most {}, at least unknown";
inline constexpr const char* estimate = "(estimate {})";

// Evidence.
inline constexpr const char* in_detail = "Each finding in detail";
inline constexpr const char* the_record = "The record";
inline constexpr const char* evidence = "Evidence";
inline constexpr const char* what_was_done = "What was done to the lot";
inline constexpr const char* stage = "Stage";
inline constexpr const char* from = "From";
inline constexpr const char* to = "To";
inline constexpr const char* lasted = "Lasted";
inline constexpr const char* unit_and_setting = "Unit and setting";
inline constexpr const char* entered_by = "Entered by";
inline constexpr const char* still_going_on = "still going on {}";
inline constexpr const char* thermometers_used = "Thermometers used";
inline constexpr const char* probe = "Probe";
inline constexpr const char* stated_accuracy = "Stated accuracy";
inline constexpr const char* last_check = "Last check";
inline constexpr const char* not_stated = "not stated";
inline constexpr const char* never_checked = "never checked";
inline constexpr const char* failed_or_overdue = "Checks failed or overdue";
inline constexpr const char* check_failed_at = "failed on {}";
inline constexpr const char* check_overdue_between = "overdue from {} to {}";
inline constexpr const char* check_overdue_since = "overdue since {}";
inline constexpr const char* no_check_failed = "none";
inline constexpr const char* readings = "Readings";
inline constexpr const char* readings_in_food = "Readings in the food";
inline constexpr const char* readings_in_food_by = "Readings in the food, by {}";
inline constexpr const char* no_reading_in_food = "The record holds no reading in this food.";
inline constexpr const char* too_many_readings =
    "{} readings are too many to print one by one: each row stands for {} of one point, with its "
    "lowest and highest reading. The record holds them all.";
inline constexpr const char* time = "Time";
inline constexpr const char* point = "Point";
inline constexpr const char* reading = "Reading";
inline constexpr const char* remarks = "Remarks";
inline constexpr const char* first_reading = "First reading";
inline constexpr const char* lowest = "Lowest";
inline constexpr const char* highest = "Highest";
inline constexpr const char* how_it_came_in = "How it came in";
inline constexpr const char* typed = "typed";
inline constexpr const char* logged = "logged";
inline constexpr const char* in_line = "line {}";
inline constexpr const char* suspect = "suspect";
inline constexpr const char* some_suspect = "{} suspect";
inline constexpr const char* troubles = "Entries not taken, and conflicts";
inline constexpr const char* no_rejects = "No entry of this period was rejected.";
inline constexpr const char* rejected_entries = "Rejected entries";
inline constexpr const char* file = "File";
inline constexpr const char* line = "Line";
inline constexpr const char* entry = "Entry";
inline constexpr const char* why_not_taken = "Why it was not taken";
inline constexpr const char* record_holds_all = "{} more; the record holds them all.";
inline constexpr const char* rejected_one = "rejected entry";
inline constexpr const char* rejected_many = "rejected entries";
inline constexpr const char* no_conflicts = "No point has two different values for one instant.";
inline constexpr const char* conflicts = "Two values for one point and instant: the worse counts";
inline constexpr const char* first_value = "First value";
inline constexpr const char* second_value = "Second value";
inline constexpr const char* conflict_one = "conflict";
inline constexpr const char* conflict_many = "conflicts";

// Charts.
inline constexpr const char* chart_title = "Temperature of {} over time";
inline constexpr const char* chart_from = "From {}.";
inline constexpr const char* chart_point = "{}: {}, lowest {} at {}, highest {} at {}.";
inline constexpr const char* good_reading_one = "good reading";
inline constexpr const char* good_reading_many = "good readings";
inline constexpr const char* chart_no_reading = "No reading from {}.";
inline constexpr const char* chart_suspect = "{} marked and not joined.";
inline constexpr const char* suspect_is = "suspect reading is";
inline constexpr const char* suspect_are = "suspect readings are";
inline constexpr const char* chart_stages = "Stages: {}.";
inline constexpr const char* air_of = "air of {}";
inline constexpr const char* house_limit = "house limit {}";
inline constexpr const char* limit_within = "{} within {}";
inline constexpr const char* no_reading = "no reading {}";
inline constexpr const char* legend_wrong_side = "wrong side of a holding limit";
inline constexpr const char* legend_crossed = "limit crossed between two readings";
inline constexpr const char* chart_forecast =
    "From the last reading on, an estimate of when limits will be crossed.";
inline constexpr const char* legend_forecast = "forecast (an estimate)";
inline constexpr const char* chart_now = "last reading";
inline constexpr const char* legend_set_aside = "set aside";
inline constexpr const char* side_by_side = "All lots beside each other";
inline constexpr const char* side_by_side_note =
    "The same times and degrees in all; lines across are limits in force, hatched is the wrong "
    "side of a "
    "holding limit, dotted frames are times without a reading. Each lot's own chart has the "
    "figures.";
inline constexpr const char* legend_suspect = "suspect reading";

// Lot sheet and night sheet.
inline constexpr const char* lot = "Lot";
inline constexpr const char* lots = "Lots";
inline constexpr const char* lot_named = "Lot {}";
inline constexpr const char* lot_verdict = "Lot {}: {}";
inline constexpr const char* lot_running = "{}, lot {}, {}";
inline constexpr const char* raw_mass = "{}, {:.2f} kg ({:.1f} lb) raw";
inline constexpr const char* night_of = "Night of {}";
inline constexpr const char* night_running = "{}, night of {}";
inline constexpr const char* no_lots = "No lot is on record for this night.";
inline constexpr const char* lot_one = "lot";
inline constexpr const char* lot_many = "lots";
inline constexpr const char* all_lots = "All lots, worst first";
inline constexpr const char* food_and_stages = "Food and stages";
inline constexpr const char* what_decides = "What decides it";
inline constexpr const char* asked = "Asked";
inline constexpr const char* nothing_could_be_judged = "nothing recorded could be judged";
inline constexpr const char* asked_nothing = "nothing";
inline constexpr const char* action_one = "action";
inline constexpr const char* action_many = "actions";
inline constexpr const char* forecast_for = "Forecast for {}";
inline constexpr const char* evidence_for = "Evidence for {}";

// Thermometer checks.
inline constexpr const char* check_log = "Thermometer checks, {}";
inline constexpr const char* checks_are = "{} of {}: {} within the tolerance as found, {} outside "
                                          "it, {} side by side. Checks due and not made: {}.";
inline constexpr const char* check_one = "check";
inline constexpr const char* check_many = "checks";
inline constexpr const char* thermometer_one = "thermometer";
inline constexpr const char* thermometer_many = "thermometers";
inline constexpr const char* checks_made = "Checks made";
inline constexpr const char* no_checks = "No check of a thermometer is on record for this time.";
inline constexpr const char* thermometer = "Thermometer";
inline constexpr const char* method = "Method";
inline constexpr const char* found = "Showed";
inline constexpr const char* expected = "True value";
inline constexpr const char* made_by_whom = "Made by";
inline constexpr const char* ice_point = "ice point";
inline constexpr const char* boiling_point = "boiling point";
inline constexpr const char* reference = "against {}";
inline constexpr const char* reference_certificate = "against {}, certificate {}";
inline constexpr const char* side_by_side_with = "side by side with {}";
inline constexpr const char* another_thermometer = "another thermometer";
inline constexpr const char* check_within = "within ±{} ({})";
inline constexpr const char* check_outside = "outside ±{} ({})";
inline constexpr const char* check_difference = "differs by {}";
inline constexpr const char* check_adjusted = "{}; adjusted, then {}";
inline constexpr const char* checks_missed = "Checks due and not made";
inline constexpr const char* due = "Due";
inline constexpr const char* not_checked = "Thermometers without a check in this time";
inline constexpr const char* check_note =
    "A thermometer that is outside its tolerance, or was never checked, proves less than it shows: "
    "the findings of what it measured say so.";

// Logs and summary.
inline constexpr const char* nights = "{} to {}";
inline constexpr const char* cooling_log = "Cooling log, {}";
inline constexpr const char* holding_log = "Holding log, {}";
inline constexpr const char* summary = "Summary, {}";
inline constexpr const char* log_running = "{}, {}";
inline constexpr const char* coolings = "Coolings";
inline constexpr const char* coolings_by_hour =
    "Start, and the reading nearest to each hour after it";
inline constexpr const char* no_coolings = "No cooling is on record for this time.";
inline constexpr const char* cooling_count = "{}: {}.";
inline constexpr const char* cooling_one = "cooling";
inline constexpr const char* cooling_many = "coolings";
inline constexpr const char* lot_and_food = "Lot and food";
inline constexpr const char* start_heading = "Start ({})";
inline constexpr const char* hour_heading = "{} h ({})";
inline constexpr const char* result = "Result";
inline constexpr const char* result_with_action = "{}, action {}";
inline constexpr const char* action_number = "Action {}";
inline constexpr const char* by = "By";
inline constexpr const char* log_note = "A cell shows the time and the value of one reading; none "
                                        "says that there was no reading within half "
                                        "an hour. The verdicts rest on all readings, not on these.";
inline constexpr const char* windows = "The windows, and what they took";
inline constexpr const char* took = "Took";
inline constexpr const char* no_holds = "Nothing held is on record for this time.";
inline constexpr const char* hold_count = "{}: {}.";
inline constexpr const char* hold_one = "hold";
inline constexpr const char* hold_many = "holds";
inline constexpr const char* unit_named = "Unit {}";
inline constexpr const char* unit_not_said = "Unit not said";
inline constexpr const char* worst_each_interval = "Worst reading of each {}";
inline constexpr const char* interval_from = "From";
inline constexpr const char* lot_in_degrees = "{} ({})";
inline constexpr const char* air_in_degrees = "air, lowest and highest ({})";
inline constexpr const char* from_to_degrees = "{} to {}";
inline constexpr const char* no_reading_cell = "none";
inline constexpr const char* holding_note =
    "A hot hold's worst reading is its lowest, a cold one's its highest; none says that the "
    "interval has no reading in this food. Suspect readings count against the food.";
inline constexpr const char* holds_found = "What was found of each hold";
inline constexpr const char* lots_by_verdict = "Lots by verdict";
inline constexpr const char* lots_heading = "Lots";
inline constexpr const char* all_of_them = "all";
inline constexpr const char* deviations = "Deviations";
inline constexpr const char* deviations_are =
    "A deviation is a finding of the code that is not met. {} in {}.";
inline constexpr const char* deviation_one = "deviation";
inline constexpr const char* deviation_many = "deviations";
inline constexpr const char* too_few =
    "{}: too few for figures, which are drawn from {} lots or more.";
inline constexpr const char* too_few_cell = "too few lots";
inline constexpr const char* by_cause = "Deviations by cause";
inline constexpr const char* cause = "Cause";
inline constexpr const char* no_cause = "not recorded";
inline constexpr const char* by_unit = "Deviations by unit";
inline constexpr const char* unit = "Unit";
inline constexpr const char* lots_in_unit = "Lots there";
inline constexpr const char* by_hour = "Deviations by hour";
inline constexpr const char* hour = "Hour of the night";
inline constexpr const char* hour_range = "{:02}:00 to {:02}:59";
inline constexpr const char* to_answer = "From flag to answer";
inline constexpr const char* answers_are =
    "From the reading that showed a deviation to the corrective action on record: {} of {} "
    "answered, shortest {}, median {}, longest {}, in {}.";
inline constexpr const char* answers_too_few =
    "Corrective actions on record: for {} of {}, in {}; too few for times, which are drawn from {} "
    "lots or more.";
inline constexpr const char* margins = "Smallest margin of each hold";
inline constexpr const char* margins_of = "Smallest margin of each hold: {}";
inline constexpr const char* margin_degrees = "Margin ({})";
inline constexpr const char* margins_described =
    "{} in {}: smallest {} at {}, largest {}. Above 0 is inside the limit.";
inline constexpr const char* margin_limit = "the limit";
inline constexpr const char* summary_note =
    "Counts say what is on record, not why. A figure from few lots moves much with one more.";
// Corrective actions and signatures on record.
inline constexpr const char* answer_unanswered = "unanswered";
inline constexpr const char* answer_incomplete = "answer incomplete";
inline constexpr const char* answer_answered = "answered, not verified";
inline constexpr const char* answer_closed = "answered and verified";
inline constexpr const char* answer_not_raised = "no longer raised";
inline constexpr const char* answer_overdue = "{}, overdue";
inline constexpr const char* answer_lacks = "Still lacking: {}";
inline constexpr const char* all_answered =
    "Every flag was answered: see the corrective actions, and what still waits for a second "
    "person.";
inline constexpr const char* asked_all_answered = ", all answered";
inline constexpr const char* asked_unanswered = ", {} to be answered";
inline constexpr const char* corrective_actions = "Corrective actions, unanswered first";
inline constexpr const char* answer_to_what = "Flag";
inline constexpr const char* answer_state = "State";
inline constexpr const char* answer_done = "What was done";
inline constexpr const char* answer_food = "Food concerned";
inline constexpr const char* done_by_and_when = "Done by, at";
inline constexpr const char* not_verified = "not verified";
inline constexpr const char* accepted_by = "verified by {}";
inline constexpr const char* wanting_by = "found wanting by {}";
inline constexpr const char* answer_cause = "Cause";
inline constexpr const char* answer_control = "Control regained";
inline constexpr const char* answer_prevention = "Against its coming back";
inline constexpr const char* answer_held_apart = "Held apart";
inline constexpr const char* answer_acceptability = "Review of acceptability";
inline constexpr const char* answer_reassessment = "Reassessment of the plan";
inline constexpr const char* disposition_reheated = "reheated";
inline constexpr const char* disposition_cooled_again = "cooled again";
inline constexpr const char* disposition_served = "served";
inline constexpr const char* disposition_discarded = "discarded";
inline constexpr const char* disposition_held = "held for decision";
inline constexpr const char* signed_on_record = "Signed on record";
inline constexpr const char* meaning = "Meaning";
inline constexpr const char* meaning_made = "made";
inline constexpr const char* meaning_reviewed = "reviewed";
inline constexpr const char* meaning_approved = "approved";
inline constexpr const char* meaning_verified = "verified";
inline constexpr const char* meaning_released = "released";
inline constexpr const char* signature_stands = "What was signed";
inline constexpr const char* stands = "is as it was signed";
inline constexpr const char* superseded = "signed content superseded, until signed again";
inline constexpr const char* signature_remarks = "Remarks";
inline constexpr const char* pin_set_anew =
    "the signer's PIN was set anew with the site's key on {} by {}: {}";
inline constexpr const char* released_unready = "released though not ready: {}";

// The register of corrective actions, and what is open.
inline constexpr const char* actions_register = "Deviations and corrective actions";
inline constexpr const char* deviations_and_actions =
    "Each deviation with the portion affected, what was done, and what became of the food";
inline constexpr const char* portion_affected = "Portion affected";
inline constexpr const char* disposition = "Disposition";
inline constexpr const char* no_deviation = "No deviation is on record for this time.";
inline constexpr const char* register_deviations_are = "{}, of which {} to be answered.";
inline constexpr const char* register_deviation_one = "deviation";
inline constexpr const char* register_deviation_many = "deviations";
inline constexpr const char* register_deviations = "Deviations";
inline constexpr const char* open_items = "Open items";
inline constexpr const char* open_flags = "Flags that are not closed";
inline constexpr const char* item_due = "Due";
inline constexpr const char* item_asked = "Asked";
inline constexpr const char* second_person_wanted = "A second person verifies it.";
inline constexpr const char* reviews_wanted = "Records that wait for a review";
inline constexpr const char* review_overdue = "overdue";
inline constexpr const char* review_waits = "not reviewed";
inline constexpr const char* no_review_rule = "no rule adopted";
inline constexpr const char* nothing_open = "Nothing is open.";
inline constexpr const char* open_are = "{} not closed, {} to be checked, {} to be reviewed.";
inline constexpr const char* checks_wanted = "Thermometers to be checked";
inline constexpr const char* check_wanted = "Check it, or take it out of use.";
inline constexpr const char* check_failed_wanted =
    "It failed its last check on {}: adjust it and check it again, or take it out of use.";
inline constexpr const char* check_at_once = "at once";
inline constexpr const char* flag_one = "flag";
inline constexpr const char* flag_many = "flags";
inline constexpr const char* review_one = "record";
inline constexpr const char* review_many = "records";
inline constexpr const char* to_be_done = "To be done";

// Forecast, signatures, about.
inline constexpr const char* forecast = "Forecast";
inline constexpr const char* forecast_caution =
    "An estimate. It never changes a verdict: the thermometer in the food, your local code and "
    "your regulator decide.";
inline constexpr const char* signatures = "Signatures";
inline constexpr const char* person_in_charge = "Person in charge";
inline constexpr const char* verified_by = "Verified by a second person";
inline constexpr const char* name_in_print = "Name in print";
inline constexpr const char* signature = "Signature";
inline constexpr const char* date_and_time = "Date and time";
inline constexpr const char* about = "About this sheet";
inline constexpr const char* caution =
    "This sheet compares recorded readings with the limits named on it. It is no advice on a "
    "particular food and replaces neither the local food code nor the regulator nor licensed "
    "practice: where they say otherwise, they decide. When in doubt, do not serve. An estimate "
    "shown here informs; it never makes a verdict milder.";
inline constexpr const char* made_by = "Made by";
inline constexpr const char* made_at = "Made at";
inline constexpr const char* house_limits = "House limits";
inline constexpr const char* variances = "Variances";
inline constexpr const char* none_on_record = "none on record";
inline constexpr const char* house_limit_since = "{}: {}, since {}";
inline constexpr const char* house_limit_until = "{}: {}, from {} until {}";
inline constexpr const char* house_limit_set_by = "{}; set by {}: {}";
inline constexpr const char* house_limit_variance = "{} (variance {})";
inline constexpr const char* code_time = "within {}";
inline constexpr const char* history = "Checkpoint of the record";
inline constexpr const char* history_head = "{} (SHA-256 over {} leaves of the history)";
inline constexpr const char* part_only =
    "Made from a part of the kitchen's records: those of {} of {} leaves of its history are kept "
    "elsewhere. What is not on this sheet may be there.";
inline constexpr const char* no_history = "none: these readings are in no store";
inline constexpr const char* judged_as_of = "Judged as of";
inline constexpr const char* software = "Software";
inline constexpr const char* code_pack = "Code pack";
inline constexpr const char* largest_interval = "Largest interval";
inline constexpr const char* between_good_readings = "{} between two good readings of a hold";
inline constexpr const char* site_altitude = "Site altitude";
inline constexpr const char* times = "Times";
inline constexpr const char* local_times_of =
    "local times of {}; lengths are true lengths, also where the clocks change";
inline constexpr const char* temperatures = "Temperatures";
inline constexpr const char* as_measured =
    "as measured, each compared with the figure printed for its own scale";

// Corrections.
inline constexpr const char* corrections = "Corrections, marks and late entries";
inline constexpr const char* corrections_for = "Corrections, marks and late entries of {}";
inline constexpr const char* amendments_caption =
    "Amended entries: what was struck out stays legible";
inline constexpr const char* number = "No.";
inline constexpr const char* now_reads = "Now";
inline constexpr const char* struck_out = "Was";
inline constexpr const char* amended_by = "Amended by, at";
inline constexpr const char* was_value = ", was {}";
inline constexpr const char* void_was = "void, was {}";
inline constexpr const char* void_entry = "void";
inline constexpr const char* marks_caption = "Readings confirmed or set aside";
inline constexpr const char* readings_marked = "Readings";
inline constexpr const char* mark_says = "Mark";
inline constexpr const char* marked_by = "By, at";
inline constexpr const char* verified = "Verified by, at";
inline constexpr const char* nobody_yet = "nobody yet";
inline constexpr const char* same_person = "the same person: one works here alone";
inline constexpr const char* confirmed = "confirmed";
inline constexpr const char* set_aside = "set aside";
inline constexpr const char* set_aside_unverified = "set aside, not verified";
inline constexpr const char* late_caption = "Entered late, from paper, or for somebody else";
inline constexpr const char* from_paper_by = "transcribed from paper ({})";
inline constexpr const char* paper_kept =
    "transcribed from a form filled in by pen by {}: the paper is "
    "the original, kept at {}";
inline constexpr const char* happened = "What and when";
inline constexpr const char* entered = "Entered";
inline constexpr const char* entered_for = "{}, for {}";
inline constexpr const char* late = "late";
inline constexpr const char* entered_late = "entered late";
inline constexpr const char* taken_by = "taken by {}";
inline constexpr const char* no_reason = "no reason given";
inline constexpr const char* reading_one = "reading";
inline constexpr const char* reading_many = "readings";
inline constexpr const char* both_unverified = "{} set aside, and no second person has verified "
                                               "that. As recorded: {}. With them left out: {}. "
                                               "Until then the worse counts.";
inline constexpr const char* both_verified =
    "{} set aside, verified by a second person. As recorded: {}. With them left out: {}.";

// Refusals.
inline constexpr const char* template_unreadable = "a sheet template cannot be read";
inline constexpr const char* template_fix =
    "install holdwarden again, or point HOLDWARDEN_DATA at the folder that holds reports/";
inline constexpr const char* pdf_not_drawn = "the PDF cannot be drawn: {}";
inline constexpr const char* pdf_fix =
    "print the sheet as HTML or text instead, and report this as a defect";

// What an entry is about.
inline constexpr const char* subject_lot = "lot";
inline constexpr const char* subject_probe_placed = "probe {} placed";
inline constexpr const char* subject_reading = "{} reading";

// PDF.
inline constexpr const char* no_drawing_part = "the part that draws PDF cannot be loaded: {}";
inline constexpr const char* no_drawing_part_fix =
    "install holdwarden again; text, HTML and CSV do without it";
inline constexpr const char* drawing_failed = "the PDF cannot be drawn: {}";
inline constexpr const char* drawing_was_ended =
    "the libraries that draw it gave up, as they do where memory runs out";
inline constexpr const char* drawing_was_ended_by =
    "the libraries that draw it gave up, as they do where memory runs out: {}";
inline constexpr const char* drawing_took_too_long =
    "it took more than 15 minutes, or stood still, as the libraries that draw it do where memory "
    "runs out";
inline constexpr const char* drawing_failed_fix =
    "close other programs, or ask for less at once; text, HTML and CSV do without the libraries";

} // namespace holdwarden::sheets::msg
