#include <holdwarden/cli/commands.hpp>

#include <iterator>
#include <utility>

namespace holdwarden::cli {

std::vector<Command> all_commands() {
    std::vector<Command> all;
    // clang-format off: one a line, so that two changes do not meet
    for (const auto make : {
             &act_commands,
             &air_commands,
             &amend_commands,
             &backup_commands,
             &bin_commands,
             &check_commands,
             &checkpoint_commands,
             &close_commands,
             &codes_commands,
             &codes_compare_commands,
             &codes_explain_commands,
             &complete_commands,
             &day_commands,
             &due_commands,
             &flags_commands,
             &forecast_commands,
             &form_commands,
             &handing_commands,
             &history_commands,
             &house_commands,
             &import_commands,
             &init_commands,
             &key_commands,
             &label_commands,
             &log_commands,
             &lot_commands,
             &manual_commands,
             &mark_commands,
             &packet_commands,
             &paper_commands,
             &person_commands,
             &place_commands,
             &plan_case_commands,
             &plan_cool_commands,
             &plan_night_commands,
             &plan_rest_commands,
             &probe_check_commands,
             &probe_checks_commands,
             &probe_commands,
             &receive_commands,
             &retention_commands,
             &review_commands,
             &reviews_commands,
             &sheet_commands,
             &site_commands,
             &split_commands,
             &stage_commands,
             &target_commands,
             &template_commands,
             &transcribe_commands,
             &unit_commands,
             &verify_action_commands,
             &verify_commands,
         }) {
        // clang-format on
        std::vector<Command> made = make();
        all.insert(all.end(), std::make_move_iterator(made.begin()),
                   std::make_move_iterator(made.end()));
    }
    return all;
}

} // namespace holdwarden::cli
