#pragma once

// All wording of the sheets, in English. A second language is another file like this one, with the
// same names (docs/decisions/0051-one-catalogue-of-wording.md). `{}` stands for a value: the
// places may be put in another order by numbers ({0}, {1}), and are checked when compiled.
// Names say what a text is for; a text used for two things has two names if another language would
// tell them apart.
namespace holdwarden::sheets::msg {

inline constexpr const char* language = "en"; ///< BCP 47, for HTML's lang and PDF's Lang

// Verdicts, stages, ends, foods, ovens.
inline constexpr const char* verdict_met = "met";
inline constexpr const char* verdict_not_met = "not met";
inline constexpr const char* verdict_not_shown = "not shown";
inline constexpr const char* verdict_open = "open";
inline constexpr const char* verdict_ended = "ended";
inline constexpr const char* treated_as_not_met = "{}, treated as not met";
inline constexpr const char* as_a_note = "{} (note)";
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
inline constexpr const char* oven_still_dry = "still dry oven";
inline constexpr const char* oven_convection = "convection oven";
inline constexpr const char* oven_high_humidity = "high-humidity oven";
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

// Requirements.
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
inline constexpr const char* of_the_house = "{} (house limit)";

// Head and foot of every sheet.
inline constexpr const char* site = "Site";
inline constexpr const char* food = "Food";
inline constexpr const char* period = "Period";
inline constexpr const char* time_zone = "Time zone";
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
inline constexpr const char* open_are = "{} not closed, {} to be reviewed.";
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
inline constexpr const char* house_limit_variance = "{} (variance {})";
inline constexpr const char* code_time = "within {}";
inline constexpr const char* history = "Checkpoint of the record";
inline constexpr const char* history_head = "{} (SHA-256 over {} leaves of the history)";
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
inline constexpr const char* late_caption = "Entered late, or for somebody else";
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

} // namespace holdwarden::sheets::msg
