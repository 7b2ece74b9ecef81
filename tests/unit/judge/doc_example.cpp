#include "doc_example.hpp"

#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/codes/load.hpp>
#include <holdwarden/judge/adopted.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <sstream>
#include <stdexcept>

namespace holdwarden::test {
namespace {

constexpr std::string_view kFence = "```holdwarden-example";

/// Noon in Denver, 1 July 2026: no change of clocks near it.
constexpr Instant kNoon = Instant::from_unix_s(1'782'928'800);

double number(const std::string& text) {
    std::size_t used = 0;
    const double value = std::stod(text, &used);
    if (used != text.size()) {
        throw std::runtime_error("not a number: " + text);
    }
    return value;
}

Instant minute(const std::string& text) {
    return kNoon + Span::milliseconds(std::llround(number(text) * 60'000.0));
}

template <class T>
T known(std::optional<T> value, const std::string& word) {
    if (!value) {
        throw std::runtime_error("not a word known here: " + word);
    }
    return *value;
}

class Record {
public:
    explicit Record(std::filesystem::path packs) : packs_{std::move(packs)} {
        lot_.name = "example";
        lot_.probes = {{"p1", std::nullopt, std::nullopt}};
        settings_.zone = Zone::named("America/Denver");
        load("us-fda-2022");
    }

    /// Reads one line; a `=>` line gives a check.
    std::optional<DocCheck> read(const std::string& line) {
        std::istringstream in{line.substr(0, line.find('#'))};
        std::vector<std::string> words;
        for (std::string word; in >> word;) {
            words.push_back(word);
        }
        if (words.empty()) {
            return std::nullopt;
        }
        if (words.front() == "=>") {
            return expect(words);
        }
        if (!setting(words) && !about_lot(words)) {
            add_reading(words);
        }
        return std::nullopt;
    }

private:
    void load(const std::string& id) { pack_ = codes::load_pack(packs_ / (id + ".toml")); }

    static bool is(const std::vector<std::string>& words, std::string_view key,
                   std::size_t arguments) {
        if (words.front() != key) {
            return false;
        }
        if (words.size() != arguments + 1) {
            throw std::runtime_error("'" + words.front() + "' takes " + std::to_string(arguments) +
                                     " words after it");
        }
        return true;
    }

    bool setting(const std::vector<std::string>& words) {
        if (is(words, "code", 1)) {
            load(words[1]);
        } else if (is(words, "as-of", 1)) {
            as_of_ = minute(words[1]);
        } else if (is(words, "max-gap", 1)) {
            settings_.largest_interval = minute(words[1]) - kNoon;
        } else if (is(words, "house", 3)) {
            add_house_limit(words);
        } else if (is(words, "guarded", 1)) {
            settings_.rule = judge::DecisionRule::guarded;
            settings_.tolerance = parse_delta(words[1]);
        } else if (is(words, "as-read", 0)) {
            settings_.rule = judge::DecisionRule::as_read;
        } else {
            return false;
        }
        return true;
    }

    void add_house_limit(const std::vector<std::string>& words) {
        codes::HouseLimit limit;
        limit.requirement = words[1];
        if (words[2].ends_with('h')) {
            limit.within = minute(words[2].substr(0, words[2].size() - 1)) - kNoon;
            limit.within = Span::milliseconds(limit.within->ms() * 60);
        } else {
            limit.at = parse_temperature(words[2]);
        }
        limit.since = at_minute(words[3]);
        limit.who = "LY";
        house_.push_back(limit);
    }

    /// By the code alone, or by what the house set itself as well.
    judge::LotJudgement judged() const {
        if (house_.empty()) {
            return judge::judge_lot(lot_, pack_, settings_);
        }
        std::vector<Instant> changes{Instant::from_unix_ms(0)};
        for (const codes::HouseLimit& limit : house_) {
            changes.push_back(limit.since);
        }
        std::ranges::sort(changes);
        std::vector<judge::Adopted> adopted;
        for (const Instant from : changes) {
            adopted.push_back(
                {from, &pack_, settings_.largest_interval, codes::in_force(house_, from)});
        }
        return judge::judge_adopted(lot_, adopted, settings_);
    }

    bool about_lot(const std::vector<std::string>& words) {
        if (is(words, "food", 1)) {
            lot_.food = known(food_named(words[1]), words[1]);
        } else if (is(words, "stage", 2)) {
            records::StageEntry entry;
            entry.stage = known(stage_named(words[1]), words[1]);
            entry.from = at_minute(words[2]);
            lot_.stages.push_back(entry);
        } else if (is(words, "oven", 2)) {
            last_stage().oven = known(oven_named(words[1]), words[1]);
            last_stage().setting = parse_temperature(words[2]);
        } else if (is(words, "form", 1)) {
            if (words[1] != "six-hours") {
                throw std::runtime_error("form six-hours is the only one to state");
            }
            last_stage().form = records::TimeControlForm::six_hours;
        } else if (is(words, "mass", 1)) {
            lot_.raw_mass_g = std::llround(number(words[1]));
        } else if (is(words, "made-from-ambient", 0)) {
            lot_.made_from_ambient = true;
        } else if (is(words, "point", 1)) {
            point_ = words[1];
        } else if (is(words, "ends", 2)) {
            lot_.end =
                records::LotEnd{known(outcome_named(words[2]), words[2]), minute(words[1]), ""};
        } else if (is(words, "closes", 1)) {
            lot_.closes = minute(words[1]);
        } else {
            return false;
        }
        return true;
    }

    void add_reading(const std::vector<std::string>& words) {
        if (words.size() < 2) {
            throw std::runtime_error("not a line of the example language");
        }
        records::Reading r;
        r.at = minute(words[0]);
        r.value = parse_temperature(words[1]);
        for (std::size_t i = 2; i < words.size(); ++i) {
            if (words[i] == "typed") {
                r.origin = records::Origin::typed;
            } else if (words[i] == "watched" && i + 1 < words.size()) {
                r.origin = records::Origin::typed;
                r.watched_s = static_cast<std::uint16_t>(number(words[++i]));
            } else {
                throw std::runtime_error("not known of a reading: " + words[i]);
            }
        }
        auto series = std::ranges::find(lot_.points, point_, &records::PointSeries::point);
        if (series == lot_.points.end()) {
            lot_.points.push_back({point_, {}});
            series = std::prev(lot_.points.end());
        }
        series->readings.push_back(r);
        std::ranges::stable_sort(series->readings, {}, &records::Reading::at);
    }

    records::StageEntry& last_stage() {
        if (lot_.stages.empty()) {
            throw std::runtime_error("no stage stands above");
        }
        return lot_.stages.back();
    }

    static Instant at_minute(const std::string& word) {
        if (!word.starts_with('@')) {
            throw std::runtime_error("write the minute as @MIN");
        }
        return minute(word.substr(1));
    }

    Instant last_known() const {
        std::optional<Instant> last;
        for (const auto& series : lot_.points) {
            for (const auto& r : series.readings) {
                last = std::max(last.value_or(r.at), r.at);
            }
        }
        if (lot_.end) {
            last = std::max(last.value_or(lot_.end->at), lot_.end->at);
        }
        if (!last) {
            throw std::runtime_error("no reading and no as-of stand above");
        }
        return *last;
    }

    DocCheck expect(const std::vector<std::string>& words) {
        if (words.size() < 3) {
            throw std::runtime_error("write => REQUIREMENT VERDICT");
        }
        std::string verdict = words[2];
        for (std::size_t i = 3; i < words.size(); ++i) {
            verdict += ' ' + words[i];
        }
        constexpr std::array<std::string_view, 6> kVerdicts{"met",  "not met", "not shown",
                                                            "open", "ended",   "none"};
        if (std::ranges::find(kVerdicts, verdict) == kVerdicts.end()) {
            throw std::runtime_error("not a verdict: " + verdict);
        }
        settings_.as_of = as_of_.value_or(Instant{});
        if (!as_of_) {
            settings_.as_of = last_known();
        }
        return {0, words[1] + ": " + verdict, words[1] + ": " + verdict_of(judged(), words[1])};
    }

    static std::string verdict_of(const judge::LotJudgement& judged, const std::string& what) {
        if (what == "overall") {
            return std::string{to_words(judged.overall)};
        }
        const std::string_view source = what.starts_with("house/") ? "house" : "code";
        const std::string id = source == "house" ? what.substr(6) : what;
        const auto cut = id.find('@');
        std::optional<judge::Verdict> worst;
        for (const auto& finding : judged.findings) {
            if (finding.source == source && finding.requirement == id.substr(0, cut) &&
                (cut == std::string::npos || finding.stage_from == minute(id.substr(cut + 1)))) {
                worst = worse(worst.value_or(finding.verdict), finding.verdict);
            }
        }
        return worst ? std::string{to_words(*worst)} : "none";
    }

    std::filesystem::path packs_;
    codes::Pack pack_;
    judge::Settings settings_;
    std::vector<codes::HouseLimit> house_;
    records::LotHistory lot_;
    std::string point_ = "core";
    std::optional<Instant> as_of_;
};

} // namespace

std::vector<DocExample> doc_examples(std::string_view markdown) {
    std::vector<DocExample> found;
    std::istringstream in{std::string{markdown}};
    bool inside = false;
    int number = 0;
    for (std::string line; std::getline(in, line);) {
        ++number;
        if (!inside && line.starts_with(kFence)) {
            inside = true;
            found.push_back({number + 1, {}});
        } else if (inside && line.starts_with("```")) {
            inside = false;
        } else if (inside) {
            found.back().lines.push_back(line);
        }
    }
    if (inside) {
        throw std::runtime_error("the example at line " + std::to_string(found.back().line) +
                                 " is not closed");
    }
    return found;
}

std::vector<DocCheck> run_example(const DocExample& example, const std::filesystem::path& packs) {
    Record record{packs};
    std::vector<DocCheck> checks;
    int number = example.line;
    for (const std::string& line : example.lines) {
        try {
            if (auto check = record.read(line)) {
                check->line = number;
                checks.push_back(*check);
            }
        } catch (const std::exception& error) {
            throw std::runtime_error("line " + std::to_string(number) + ": " + error.what());
        }
        ++number;
    }
    if (checks.empty()) {
        throw std::runtime_error("the example at line " + std::to_string(example.line) +
                                 " expects nothing");
    }
    return checks;
}

} // namespace holdwarden::test
