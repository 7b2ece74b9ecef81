#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/printed_page.hpp>
#include <holdwarden/judge/keep_until.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/sheets/label.hpp>

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <ostream>

namespace holdwarden::cli {
namespace {

constexpr int kMostCopies = 200;

struct LabelOptions {
    StoreArguments store;
    PageArguments page;
    std::string lot;
    std::string size = "76x51mm";
    std::string copies = "1";
    std::string note;
    bool day = false;
};

int copies_of(const std::string& text) {
    int copies = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), copies);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size() || copies < 1 ||
        copies > kMostCopies) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no number of labels", for_display(text, 60)),
                     .where = "--copies",
                     .fix = fmt::format("give 1 to {}", kMostCopies)}};
    }
    return copies;
}

/// "Sat 2026-10-31": the day of the week is what a cook looks for.
std::string day_text(const LocalDate& date) {
    static constexpr std::array<const char*, 7> kDays{"Thu", "Fri", "Sat", "Sun",
                                                      "Mon", "Tue", "Wed"}; // 1970-01-01: Thursday
    const std::int64_t since = day_number(date) % 7;
    return fmt::format("{} {}", kDays.at(static_cast<std::size_t>((since + 7) % 7)), to_text(date));
}

std::string moment_text(Instant at, const Zone& zone) {
    return day_text(date_of(zone.wall(at))) + " " + clock_text(at, zone) + " " +
           offset_text(at, zone);
}

void mark_time(sheets::Label& label, const judge::TimeMark& mark, const Zone& zone) {
    label.deadline = fmt::format("{} {}", mark.figure_included ? "OUT BY" : "OUT BEFORE",
                                 moment_text(mark.until, zone));
    label.lines.push_back({"Taken out", moment_text(mark.taken_out, zone)});
    label.lines.push_back({"Then", "discard what is left; it goes back to no holding (" +
                                       mark.requirement->clause + ")"});
}

void mark_day(sheets::Label& label, const judge::DayMark& mark) {
    label.deadline = "USE OR DISCARD BY " + day_text(mark.last_day);
    label.lines.push_back({"Made (day 1)", day_text(mark.made_on)});
    label.lines.push_back(
        {"Last day", fmt::format("day {}{} ({})", mark.days,
                                 mark.frozen_days > 0
                                     ? fmt::format(", {} frozen days not counted", mark.frozen_days)
                                     : "",
                                 mark.requirement->clause)});
}

sheets::Label label_of(const LabelOptions& o, const OpenStore& store, const Context& context) {
    const auto lot = records::lot_named(*store, o.lot);
    if (store->end(lot.id)) {
        throw Error{
            ErrorKind::conflict,
            {.what = fmt::format("lot {} has ended: there is no food to label", lot.facts.name),
             .where = "",
             .fix = "name a lot that lives"}};
    }
    LotJudge judge{store, context, store.now()};
    const records::LotHistory history = store->lot_history(lot.id, store.now());
    const codes::Pack& pack = judge.pack_for(history);
    const judge::Settings settings = judge.settings_for(history);
    sheets::Label label{.name = lot.facts.name, .deadline = {}, .lines = {}, .foot = {}};
    if (!lot.facts.description.empty()) {
        label.lines.push_back({"What", lot.facts.description});
    }
    const auto time = judge::time_mark(history, pack, settings);
    const auto day = judge::day_mark(history, pack, settings);
    const bool under_time_control =
        !history.stages.empty() && history.stages.back().stage == Stage::time_control;
    if (!o.day && time) {
        mark_time(label, *time, store.zone());
    } else if (!o.day && under_time_control) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("{} has no such form of time control", pack.id),
                     .where = "",
                     .fix = "see `holdwarden codes show " + pack.id +
                            "`; without an approved form the food may not be out"}};
    } else if (day) {
        mark_day(label, *day);
    } else {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("nothing says when lot {} was made, or {} marks no days",
                                         lot.facts.name, pack.id),
                     .where = "",
                     .fix = "open it with --made-on DATE, or enter its stages"}};
    }
    if (!o.note.empty()) {
        records::check_text("note", o.note);
        label.lines.push_back({"Note", o.note});
    }
    label.foot = fmt::format("{}, {}; printed {}", store.site().name, pack.id,
                             moment_text(store.now(), store.zone()));
    return label;
}

int run_label(const LabelOptions& o, Context& context) {
    const PageForm form = o.page.form(context);
    const sheets::LabelSize size = sheets::parse_label_size(o.size);
    const int copies = copies_of(o.copies);
    const OpenStore store{o.store, context, store::Access::read};
    const sheets::Label label = label_of(o, store, context);
    std::string page;
    switch (form) {
    case PageForm::text:
        for (int copy = 0; copy < copies; ++copy) {
            page += sheets::to_text(label);
        }
        break;
    case PageForm::html:
        page = sheets::label_html(label, size, copies);
        break;
    case PageForm::pdf:
        page = sheets::label_pdf(label, size, copies);
        break;
    }
    deliver(o.page, page, context);
    return kDone;
}

} // namespace

std::vector<Command> label_commands() {
    const auto o = std::make_shared<LabelOptions>();
    return {{.name = "label",
             .help = "Print what goes on a pan: name, when made, by when it is used or discarded",
             .declare =
                 [o](Arguments& a) {
                     a.need("lot", o->lot, "The lot, or the beginning of its name");
                     a.option("--size", o->size,
                              "Width by height: 50x25mm, 100x50mm, 3x2in; for HTML and PDF");
                     a.option("--copies", o->copies, "How many");
                     a.flag("--day", o->day, "The day mark, also while it is under time control");
                     a.option("--note", o->note, "One more line");
                     o->page.declare(a);
                     o->store.declare_reading(a);
                     a.example("holdwarden label brisket-1 --size 100x50mm --output brisket-1.pdf");
                 },
             .run = [o](Context& context) { return run_label(*o, context); }}};
}

} // namespace holdwarden::cli
