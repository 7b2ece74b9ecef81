#pragma once

#include <holdwarden/cli/command.hpp>

#include <vector>

namespace holdwarden::cli {

// One maker per file of src/cli that declares commands; all_commands() calls each.
std::vector<Command> act_commands();
std::vector<Command> air_commands();
std::vector<Command> amend_commands();
std::vector<Command> backup_commands();
std::vector<Command> bin_commands();
std::vector<Command> check_commands();
std::vector<Command> checkpoint_commands();
std::vector<Command> close_commands();
std::vector<Command> codes_commands();
std::vector<Command> codes_compare_commands();
std::vector<Command> codes_explain_commands();
std::vector<Command> complete_commands();
std::vector<Command> day_commands();
std::vector<Command> due_commands();
std::vector<Command> flags_commands();
std::vector<Command> forecast_commands();
std::vector<Command> form_commands();
std::vector<Command> handing_commands();
std::vector<Command> history_commands();
std::vector<Command> house_commands();
std::vector<Command> import_commands();
std::vector<Command> init_commands();
std::vector<Command> key_commands();
std::vector<Command> label_commands();
std::vector<Command> log_commands();
std::vector<Command> lot_commands();
std::vector<Command> manual_commands();
std::vector<Command> mark_commands();
std::vector<Command> packet_commands();
std::vector<Command> paper_commands();
std::vector<Command> person_commands();
std::vector<Command> place_commands();
std::vector<Command> plan_case_commands();
std::vector<Command> plan_cool_commands();
std::vector<Command> plan_night_commands();
std::vector<Command> plan_rest_commands();
std::vector<Command> probe_check_commands();
std::vector<Command> probe_checks_commands();
std::vector<Command> probe_commands();
std::vector<Command> receive_commands();
std::vector<Command> retention_commands();
std::vector<Command> review_commands();
std::vector<Command> reviews_commands();
std::vector<Command> sheet_commands();
std::vector<Command> site_commands();
std::vector<Command> split_commands();
std::vector<Command> stage_commands();
std::vector<Command> target_commands();
std::vector<Command> template_commands();
std::vector<Command> transcribe_commands();
std::vector<Command> unit_commands();
std::vector<Command> verify_action_commands();
std::vector<Command> verify_commands();

} // namespace holdwarden::cli
