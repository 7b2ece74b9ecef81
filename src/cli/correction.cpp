#include <holdwarden/cli/correction.hpp>
#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/judge/marks.hpp>

#include <fmt/format.h>

namespace holdwarden::cli {

void CorrectionArguments::declare(Arguments& arguments) {
    arguments.option("--why", why, "Why: the record keeps it (needed)");
    store.declare_writing(arguments);
}

std::string verdict_lines(const OpenStore& store, const Context& context, records::LotId lot) {
    const sheets::LotRecord record = LotJudge{store, context, store.now()}.record(lot);
    const judge::LotJudgement& judged = record.judged;
    std::string text = fmt::format("The lot's verdict: {} {}", judge::mark(judged.overall),
                                   judge::to_words(judged.overall));
    if (judged.as_first_recorded) {
        text += fmt::format("; as first recorded: {}", judge::to_words(*judged.as_first_recorded));
    }
    text += ".\n";
    if (judged.set_aside) {
        text += fmt::format(
            "With all readings: {}; with those left out that are set aside: {}. {}\n",
            judge::to_words(judged.set_aside->as_recorded),
            judge::to_words(judged.set_aside->left_out),
            judged.set_aside->verified
                ? "A second person verified this."
                : "The worse counts until a second person verifies: `set-aside verify`.");
    }
    return text;
}

std::string shown(const OpenStore& store, const records::FactChange& change) {
    const auto value = [&](const std::string& text, const std::optional<Instant>& at) {
        return at ? store.shown(*at) : text.empty() ? std::string{"not said"} : text;
    };
    return fmt::format("{} {}, was {}", change.field, value(change.now, change.now_at),
                       value(change.was, change.was_at));
}

} // namespace holdwarden::cli
