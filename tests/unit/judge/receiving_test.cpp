#include <holdwarden/codes/load.hpp>
#include <holdwarden/judge/receiving.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::judge;

namespace {

std::string file_of(const char* id) {
    return std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/" + id + ".toml";
}

codes::Receiving received_by(const char* id) {
    return codes::load_receiving(file_of(id));
}

codes::Pack shipped(const char* id) {
    return codes::load_pack(file_of(id));
}

records::Receipt received(ReceivedAs as, std::optional<Temperature> value) {
    records::Receipt receipt;
    receipt.supplier = "Yard Farms";
    receipt.product = "flats";
    receipt.as = as;
    receipt.value = value;
    return receipt;
}

Temperature tenths(int value, Scale scale) {
    return Temperature::of_thousandths(100 * value, scale);
}

} // namespace

TEST_CASE("a delivery is held against the limit for receiving, the figure included") {
    // FDA Food Code 2022, 3-202.11(A): 41 °F (5 °C) or below; (D): 135 °F (57 °C) or above (from
    // memory).
    const codes::Receiving fda = received_by("us-fda-2022");
    const auto verdict = [&](ReceivedAs as, int value, Scale scale) {
        return judge_receipt(received(as, tenths(value, scale)), fda).verdict;
    };
    CHECK(verdict(ReceivedAs::cold, 410, Scale::fahrenheit) == Verdict::met);
    CHECK(verdict(ReceivedAs::cold, 411, Scale::fahrenheit) == Verdict::not_met);
    CHECK(verdict(ReceivedAs::cold, 50, Scale::celsius) == Verdict::met);
    CHECK(verdict(ReceivedAs::cold, 51, Scale::celsius) == Verdict::not_met);
    CHECK(verdict(ReceivedAs::hot, 1350, Scale::fahrenheit) == Verdict::met);
    CHECK(verdict(ReceivedAs::hot, 1349, Scale::fahrenheit) == Verdict::not_met);
    CHECK(verdict(ReceivedAs::hot, 570, Scale::celsius) == Verdict::met);
    CHECK(verdict(ReceivedAs::hot, 569, Scale::celsius) == Verdict::not_met);
    const ReceiptFinding finding =
        judge_receipt(received(ReceivedAs::cold, tenths(430, Scale::fahrenheit)), fda);
    CHECK(finding.rule->clause == "3-202.11(A)");
    CHECK(finding.margin->thousandths() == -2000);
    CHECK(finding.rule->status == codes::Status::remembered);
}

TEST_CASE("a delivery nobody measured or looked at is not shown") {
    const codes::Receiving fda = received_by("us-fda-2022");
    CHECK(judge_receipt(received(ReceivedAs::cold, {}), fda).verdict == Verdict::not_shown);
    CHECK(judge_receipt(received(ReceivedAs::hot, {}), fda).verdict == Verdict::not_shown);
    // A temperature alone does not say that it is solid.
    CHECK(judge_receipt(received(ReceivedAs::frozen, tenths(0, Scale::fahrenheit)), fda).verdict ==
          Verdict::not_shown);
}

TEST_CASE("frozen food is met when it was seen frozen, and not when thawed or warm") {
    // FDA Food Code 2022, 3-202.11(E): frozen food is received frozen (from memory); no figure is
    // printed.
    const codes::Receiving fda = received_by("us-fda-2022");
    records::Receipt receipt = received(ReceivedAs::frozen, {});
    receipt.frozen_solid = true;
    CHECK(judge_receipt(receipt, fda).verdict == Verdict::met);
    receipt.value = tenths(320, Scale::fahrenheit); // water's freezing point: not above it
    CHECK(judge_receipt(receipt, fda).verdict == Verdict::met);
    receipt.value = tenths(321, Scale::fahrenheit);
    CHECK(judge_receipt(receipt, fda).verdict == Verdict::not_shown); // the two contradict
    receipt.frozen_solid = false;
    CHECK(judge_receipt(receipt, fda).verdict == Verdict::not_met);
}

TEST_CASE("a pack that says nothing of receiving judges no delivery") {
    const codes::Receiving fsis = received_by("us-fsis");
    const ReceiptFinding finding =
        judge_receipt(received(ReceivedAs::cold, tenths(600, Scale::fahrenheit)), fsis);
    CHECK_FALSE(finding.verdict);
    CHECK(finding.rule == nullptr);
    const auto reason = [&](ReceivedAs as) { return judge_receipt(received(as, {}), fsis).reason; };
    CHECK(reason(ReceivedAs::cold).ends_with("food received cold"));
    CHECK(reason(ReceivedAs::hot).ends_with("food received hot"));
    CHECK(reason(ReceivedAs::frozen).ends_with("food received frozen"));
    CHECK_FALSE(judge_receipt(received(ReceivedAs::other, {}), received_by("us-fda-2022")).verdict);
}

TEST_CASE("other packs hold deliveries against their own figures") {
    // Hong Kong: FEHD Food Hygiene Code 4.2-4.3: 4 °C or below, 60 °C or above (read in an account
    // of it). Australia: Standard 3.2.2, receipt at 5 °C or below or 60 °C or above (read in fact
    // sheets).
    const codes::Receiving hk = received_by("hk");
    const codes::Receiving au = received_by("au-3.2.2");
    const auto at = [](const codes::Receiving& pack, ReceivedAs as, int value) {
        return judge_receipt(received(as, tenths(value, Scale::celsius)), pack).verdict;
    };
    CHECK(at(hk, ReceivedAs::cold, 40) == Verdict::met);
    CHECK(at(hk, ReceivedAs::cold, 41) == Verdict::not_met);
    CHECK(at(hk, ReceivedAs::hot, 600) == Verdict::met);
    CHECK(at(hk, ReceivedAs::hot, 599) == Verdict::not_met);
    CHECK(at(au, ReceivedAs::cold, 50) == Verdict::met);
    CHECK(at(au, ReceivedAs::cold, 51) == Verdict::not_met);
    CHECK(at(au, ReceivedAs::hot, 600) == Verdict::met);
}

TEST_CASE("the air of a unit gets a remark beside the food's limit and no verdict") {
    // FDA Food Code 2022, 3-501.16(A)(2): 41 °F or below; (A)(1): 135 °F or above, of food.
    const codes::Pack fda = shipped("us-fda-2022");
    const AirNote cold = note_air(tenths(410, Scale::fahrenheit), false, fda);
    CHECK(cold.side == codes::Side::right);
    CHECK(cold.words.find("no proof") != std::string::npos);
    const AirNote warm = note_air(tenths(411, Scale::fahrenheit), false, fda);
    CHECK(warm.side == codes::Side::wrong);
    CHECK(warm.words.find("Measure the food") != std::string::npos);
    CHECK(note_air(tenths(1349, Scale::fahrenheit), true, fda).side == codes::Side::wrong);
    CHECK(note_air(tenths(1350, Scale::fahrenheit), true, fda).side == codes::Side::right);
}
