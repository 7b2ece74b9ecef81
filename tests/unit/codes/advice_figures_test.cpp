// Each row of advice that has a figure, in when it is given or in what it says, beside what was
// published. A row without figures is not listed. A row is "requirement verdict[, up to TIME][,
// worst LIMIT] | figures of its sentences in order".
#include "described.hpp"

#include <holdwarden/base/time_text.hpp>

#include <catch2/catch.hpp>

#include <regex>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

using Lines = std::vector<std::string>;

Lines cells(const Pack& pack) {
    static const std::regex figure{
        "[0-9]+(\\.[0-9]+)?( more)? (\u00B0F|\u00B0C|hours?|minutes?|seconds?)"};
    Lines all;
    for (const Advice& row : pack.advice) {
        std::string figures;
        for (const std::string& act : row.act) {
            for (std::sregex_iterator found{act.begin(), act.end(), figure}, end; found != end;
                 ++found) {
                figures += (figures.empty() ? "" : ", ") + found->str();
            }
        }
        if (figures.empty() && !row.up_to && !row.while_worst) {
            continue;
        }
        std::string text = row.requirement + (row.for_not_shown ? " not-shown" : " not-met");
        if (row.up_to) {
            text += (row.up_to->figure_included ? ", up to " : ", less than ") +
                    to_text(row.up_to->span);
        }
        text += row.while_worst ? ", worst " + row.while_worst->to_text() : "";
        all.push_back(text + " | " + figures);
    }
    return all;
}

Lines cells(const std::string& id) {
    return cells(described::shipped(id));
}

} // namespace

TEST_CASE("the advice of the FDA editions has the published figures") {
    const Lines published{
        // FDA Food Code 2022, 3-401.11(B), 3-501.16(A)(1): 130 °F (54 °C) only for a roast cooked
        // by its table, else 135 °F (57 °C). What to do: common practice, no source.
        "cooking-roast not-met | 135 °F, 57 °C, 130 °F, 54 °C",
        "cooking-roast not-shown | 135 °F, 57 °C, 130 °F, 54 °C",
        // FDA, Managing Food Safety, regulator's manual (from memory): below 135 °F, 4 h or less:
        // reheat to 165 °F, serve or cool; over 4 h or unknown: discard. 165 °F for 15 s within 2
        // h: 3-403.11(A), (D). Washington State Department of Health, table for power cuts: at 0 to
        // 2 h, reheat at any temperature; at 2 to 4 h, reheat at 130 °F or above and discard at
        // 129 °F or below.
        "hot-holding not-met, up to 2 h | 165 °F, 74 °C, 15 seconds, 2 hours, 41 °F, 5 °C",
        "hot-holding not-met, up to 4 h, worst 130 °F or above | 165 °F, 74 °C, 15 seconds, 2 "
        "hours, 41 °F, 5 °C",
        "hot-holding not-met, up to 4 h | 130 °F, 54 °C, 135 °F, 57 °C, 2 hours",
        "hot-holding not-met | 135 °F, 57 °C, 4 hours",
        "hot-holding not-shown, up to 4 h | 135 °F, 57 °C, 165 °F, 74 °C, 15 seconds, 2 hours, 41 "
        "°F, 5 °C, 130 °F, 54 °C, 2 hours",
        "hot-holding not-shown | 135 °F, 57 °C, 4 hours",
        // The same table, below 130 °F: reheat up to 2 h, then discard. How to reheat, serve or
        // cool: the manual's advice for 135 °F, taken over (common practice, no source).
        "hot-holding-roast not-met, up to 2 h | 165 °F, 74 °C, 15 seconds, 2 hours, 41 °F, 5 °C",
        "hot-holding-roast not-met | 130 °F, 54 °C, 2 hours",
        "hot-holding-roast not-shown, up to 2 h | 130 °F, 54 °C, 165 °F, 74 °C, 15 seconds, 2 "
        "hours, 41 °F, 5 °C",
        "hot-holding-roast not-shown | 130 °F, 54 °C, 2 hours",
        // Tables for power cuts. San Francisco: 50 °F or above: discard; 45 °F or below: 2 to 3 h,
        // to 41 °F within 2 h. Washington: 51 °F or above after 2 h: discard. Not shown: common
        // practice, no source.
        "cold-holding not-met, up to 2 h, worst below 50 °F | 41 °F, 5 °C",
        "cold-holding not-met, up to 3 h, worst 45 °F or below | 41 °F, 5 °C, 2 hours",
        "cold-holding not-shown, up to 3 h | 41 °F, 5 °C, 41 °F, 45 °F, 7 °C, 41 °F",
        "cold-holding not-shown | 41 °F, 5 °C",
        // FDA, Managing Food Safety, regulator's manual (from memory): above 70 °F: up to 2 h
        // reheat to 165 °F for 15 s and cool again, over 2 h discard.
        "cooling-first-window not-met | 70 °F, 21 °C, 2 hours, 165 °F, 74 °C, 15 seconds, 2 hours",
        "cooling-first-window not-shown | 70 °F, 21 °C, 2 hours, 135 °F, 57 °C",
        // The same: above 41 °F: up to 6 h reheat, over 6 h discard.
        "cooling-total not-met | 41 °F, 5 °C, 6 hours, 165 °F, 74 °C, 15 seconds, 6 hours",
        "cooling-total not-shown | 41 °F, 5 °C, 6 hours, 135 °F, 57 °C",
        // The same: made from ambient ingredients, above 41 °F: over 4 h discard.
        "cooling-from-ambient not-met | 41 °F, 5 °C, 4 hours",
        "cooling-from-ambient not-shown | 41 °F, 5 °C, 4 hours",
        // FDA Food Code 2022, 3-403.11(D): between 41 °F (5 °C) and the target not over 2 h. What
        // to do: common practice, no source.
        "reheating not-met | 2 hours, 41 °F, 5 °C, 2 hours",
        "reheating not-shown | 2 hours",
        // The same.
        "reheating-time not-met | 2 hours",
        "reheating-time not-shown | 41 °F, 5 °C",
        // FDA Food Code 2022, 3-501.19(B)(2), (C): not over 70 °F (21 °C); 4 h is the other form
        // (from memory).
        "time-control-ceiling not-met | 70 °F, 21 °C",
        "time-control-ceiling not-shown | 70 °F, 21 °C, 4 hours",
    };
    for (const char* id : {"us-fda-2013", "us-fda-2017", "us-fda-2022"}) {
        INFO(id);
        CHECK(cells(id) == published);
    }
}

TEST_CASE("the advice of us-fsis has the published figures") {
    const Lines published{
        // FSIS Cooking Guideline (2021): come-up is the time between 50 and 130 °F.
        "come-up not-shown | 50 °F, 130 °F",
    };
    CHECK(cells("us-fsis") == published);
}

TEST_CASE("the advice of au-3.2.2 has the published figures") {
    const Lines published{
        // 2 hour / 4 hour guide, Food Standards Australia New Zealand: under 2 h use or
        // refrigerate, 2 to 4 h use; 4 h or longer throw out: NSW Food Authority. 5 and 60 °C:
        // Standard 3.2.2 cl. 5 to 10.
        "hot-holding not-met, less than 2 h | 60 °C, 5 °C",
        "hot-holding not-met, less than 4 h | ",
        "hot-holding not-met | 60 °C, 4 hours",
        "hot-holding not-shown | 60 °C",
        // The same.
        "cold-holding not-met, less than 2 h | 5 °C",
        "cold-holding not-met, less than 4 h | ",
        "cold-holding not-met | 5 °C, 4 hours",
        "cold-holding not-shown | 5 °C",
        // Standard 3.2.2 cl. 7(3): 60 to 21 °C in 2 h. What to do: common practice, no source.
        "cooling-first-window not-met | 21 °C, 2 hours",
        "cooling-first-window not-shown | 21 °C, 2 hours, 60 °C",
        // Standard 3.2.2 cl. 7(3): 21 to 5 °C in 4 h more. What to do: common practice, no source.
        "cooling-second-window not-met | 5 °C, 4 more hours",
        "cooling-second-window not-shown | 5 °C, 4 hours, 21 °C",
        // Standard 3.2.2 cl. 7(4): 60 °C. What to do: common practice, no source.
        "reheating not-met | 60 °C",
        // 2 hour / 4 hour guide: counted from the refrigerator, 5 °C.
        "time-control not-met | 5 °C",
    };
    CHECK(cells("au-3.2.2") == published);
}

TEST_CASE("the advice of uk-england has the published figures") {
    const Lines published{
        // SI 2013/2996 Sch. 4 (read in SI 2005/2059 and WSI 2006/31 Sch. 4 para. 7(2)): below 63
        // °C for less than 2 h. After it reheat and serve, or chill to 8 °C or less, or dispose:
        // guidance of Rochdale council. Discarding from 2 h on: common practice, no source.
        "hot-holding not-met, less than 2 h | 8 °C",
        "hot-holding not-met | 63 °C, 2 hours",
        "hot-holding not-shown | 63 °C",
        // SI 2013/2996 Sch. 4 (read in NISR 2006/3 Sch. 4 para. 5(1)): above 8 °C for less than 4
        // h. Discarding from 4 h on: common practice, no source.
        "cold-holding not-met, less than 4 h | 8 °C",
        "cold-holding not-met | 8 °C, 4 hours",
        "cold-holding not-shown | 8 °C",
        // The same two limits.
        "time-control not-met | 8 °C, 63 °C",
        // Council guidance: 70 °C for 2 min or 75 °C for 30 s. What to do: common practice, no
        // source.
        "reheating not-met | 70 °C, 2 minutes, 75 °C, 30 seconds",
    };
    CHECK(cells("uk-england") == published);
}

TEST_CASE("the advice of uk-scotland has the published figures") {
    const Lines published{
        // Common practice, no source (England's 2 h taken over); 63 and 82 °C: SSI 2006/3 Sch. 4
        // paras. 2 and 3.
        "hot-holding not-met, less than 2 h | 82 °C",
        "hot-holding not-met | 63 °C, 2 hours",
        "hot-holding not-shown | 63 °C",
        // SSI 2006/3 Sch. 4 para. 3: 82 °C. What to do: common practice, no source.
        "reheating not-met | 82 °C",
    };
    CHECK(cells("uk-scotland") == published);
}

TEST_CASE("the advice of nz-fcp has the published figures") {
    const Lines published{
        // Food Control Plan, Ministry for Primary Industries: below 60 °C for 2 h or less: reheat
        // and serve above 60 °C, or cool within 4 h to 4 °C (template of about 2013; 5 °C in the
        // extract of 2020: the stricter); over 2 h throw out. Above 75 °C: the extract of 2020.
        "hot-holding not-met, up to 2 h | 75 °C, 60 °C, 4 °C, 4 hours, 60 °C",
        "hot-holding not-met | 60 °C, 2 hours",
        "hot-holding not-shown | 60 °C",
        // Common practice, no source: the 2 h of hot holding taken over; 4 °C: the template of
        // about 2013.
        "cold-holding not-met, up to 2 h | 4 °C",
        "cold-holding not-met | 4 °C, 2 hours",
        "cold-holding not-shown | 4 °C",
    };
    CHECK(cells("nz-fcp") == published);
}

TEST_CASE("the advice of hk has the published figures") {
    const Lines published{
        // Centre for Food Safety: refrigerate within 2 h, discard over 4 h. 4 and 60 °C: FEHD Food
        // Hygiene Code 4.2-4.3.
        "hot-holding not-met, up to 2 h | 60 °C, 4 °C",
        "hot-holding not-met, up to 4 h | ",
        "hot-holding not-met | 60 °C, 4 hours",
        "hot-holding not-shown | 60 °C",
        // The same.
        "cold-holding not-met, up to 2 h | 4 °C",
        "cold-holding not-met, up to 4 h | ",
        "cold-holding not-met | 4 °C, 4 hours",
        "cold-holding not-shown | 4 °C",
        // Centre for Food Safety, page on cooling: to 20 °C in 2 h (60 °C from memory). What to
        // do: common practice, no source.
        "cooling-first-window not-met | 20 °C, 2 hours",
        "cooling-first-window not-shown | 20 °C, 2 hours, 60 °C",
        // The same page: 20 to 4 °C in 4 h. What to do: common practice, no source.
        "cooling-second-window not-met | 4 °C, 4 more hours",
        "cooling-second-window not-shown | 4 °C, 4 hours, 20 °C",
        // FEHD Food Hygiene Code: 4 °C.
        "time-control not-met | 4 °C",
    };
    CHECK(cells("hk") == published);
}

TEST_CASE("the advice of ie-fsai has the published figures") {
    const Lines published{
        // 63 °C: FSAI (from memory). What to do: common practice, no source.
        "hot-holding not-met | 63 °C",
        "hot-holding not-shown | 63 °C",
        // FSAI Guidance Note 15: 3 °C. What to do, here and below: common practice, no source.
        "cold-holding not-met | 3 °C",
        "cold-holding not-shown | 3 °C",
        // Guidance Note 15: 3 °C in not over 150 min.
        "cooling-total not-met | 3 °C, 150 minutes",
        "cooling-total not-shown | 3 °C, 150 minutes",
        // Guidance Note 15: 70 °C.
        "reheating not-met | 70 °C",
    };
    CHECK(cells("ie-fsai") == published);
}

TEST_CASE("the advice of fr-2009 has the published figures") {
    const Lines published{
        // 63 °C: from memory. What to do, here and below: common practice, no source.
        "hot-holding not-met | 63 °C",
        "hot-holding not-shown | 63 °C",
        // Order of 21 December 2009: stored at 3 °C.
        "cold-holding not-met | 3 °C",
        "cold-holding not-shown | 3 °C",
        // The same: 63 to 10 °C in under 2 h.
        "cooling-total not-met | 10 °C, 2 hours",
        "cooling-total not-shown | 10 °C, 2 hours, 63 °C",
        // The same: 63 °C.
        "reheating not-met | 63 °C",
    };
    CHECK(cells("fr-2009") == published);
}
