// Check a store, a packet, or a proof.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/packet.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr std::uint64_t kMostTextBytes = 64U << 20U;

struct VerifyOptions {
    StoreArguments store;
    std::string what;
    std::string key;
    std::string checkpoint;
    std::string format;
};

/// What a check found, for either printer.
struct Verified {
    std::string kind; ///< "store", "packet", "proof"
    std::string text; ///< for people, when all fits
    std::vector<std::string> problems;
    std::optional<std::uint64_t> size;
    std::optional<seal::Sha256> root;
    std::optional<seal::Sha256> key;
    bool key_trusted = false;
};

/// A checkpoint kept outside the store, with its signature beside it, against the store's history.
void compare_checkpoint(const VerifyOptions& o, const records::Store& store, Verified& verified) {
    const auto trusted = trusted_key(o.key);
    const fs::path file = o.checkpoint;
    const std::string text = seal::read_small_file(file, kMostTextBytes);
    const seal::Checkpoint checkpoint = seal::parse_checkpoint(text);
    const fs::path folder = file.parent_path();
    const seal::PublicKey key = seal::public_key_from_pem(
        seal::read_small_file(folder / seal::kPublicKeyFile, kMostTextBytes));
    const seal::Signature signature = seal::signature_from_bytes(
        seal::read_small_file(fs::path{file}.replace_extension(".sig"), kMostTextBytes));
    verified.key = seal::fingerprint(key);
    verified.key_trusted = trusted == verified.key;
    if (!seal::is_signed(text, signature, key) || checkpoint.key != verified.key) {
        verified.problems.emplace_back("the checkpoint was not signed with the key beside it, or "
                                       "was altered since");
    }
    if (trusted && !verified.key_trusted) {
        verified.problems.push_back("the checkpoint was signed with key " +
                                    seal::hex(*verified.key) + ", not with the one you trust");
    }
    const auto then = store::head_at(store, checkpoint.size);
    if (!then || then->root != checkpoint.root) {
        verified.problems.push_back(
            fmt::format("the store's history is not the one that was signed {}: records from "
                        "before were changed or removed since",
                        to_utc_text(checkpoint.time)));
    }
}

Verified verify_store(const VerifyOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::read};
    store::HistoryReport report = store::verify(*store);
    Verified verified{.kind = "store",
                      .text = {},
                      .problems = std::move(report.problems),
                      .size = report.head.size,
                      .root = report.head.root,
                      .key = {},
                      .key_trusted = false};
    if (!o.checkpoint.empty()) {
        compare_checkpoint(o, *store, verified);
    }
    verified.text =
        fmt::format("Every record is as it was when it was written: {} entries, {} logged "
                    "readings, {} checkpoints.\n",
                    report.entries, report.readings, report.checkpoints);
    if (report.purged > 0) {
        verified.text +=
            fmt::format("The records of {} leaves were purged after their time; signed tombstones "
                        "stand for them.\n",
                        report.purged);
    }
    if (report.elsewhere > 0) {
        verified.text += fmt::format(
            "{}The records of {} leaves were left out of the packet that this store was made "
            "from, as its maker\nsigned; here they are known by their hashes alone.\n",
            store::leaves_elsewhere(*store) > 0 ? "It holds a part of the kitchen's records only. "
                                                : "",
            report.elsewhere);
    }
    verified.text += fmt::format("The history has {} leaves; their root is {}\n", report.head.size,
                                 seal::hex(report.head.root));
    verified.text += o.checkpoint.empty()
                         ? "By itself this cannot show a store rewritten with its whole history: "
                           "compare it with a\ncheckpoint kept elsewhere (--checkpoint FILE).\n"
                         : "The checkpoint kept elsewhere is of this history.\n";
    return verified;
}

Verified verify_packet(const VerifyOptions& o) {
    seal::PacketReport report = seal::check_packet(o.what, trusted_key(o.key));
    Verified verified{.kind = "packet",
                      .text = {},
                      .problems = std::move(report.problems),
                      .size = {},
                      .root = {},
                      .key = report.key,
                      .key_trusted = !o.key.empty() && report.key == trusted_key(o.key)};
    if (report.checkpoint) {
        verified.size = report.checkpoint->size;
        verified.root = report.checkpoint->root;
    }
    if (report.manifest && report.checkpoint) {
        verified.text =
            fmt::format("The packet is as it was sealed on {}: {} files, from {}.\n"
                        "Checkpoint of {}: {} leaves, root {}\n",
                        to_utc_text(report.manifest->made), report.manifest->files.size(),
                        report.checkpoint->origin, to_utc_text(report.checkpoint->time),
                        report.checkpoint->size, seal::hex(report.checkpoint->root));
    }
    if (report.records && report.checkpoint) {
        verified.text += fmt::format(
            "Every record in it was worked out anew and comes to that root: {} of {} leaves have "
            "their\nrecords here, with {} logged readings.{}\n",
            report.records->leaves - report.records->left_out, report.records->leaves,
            report.records->readings,
            report.records->left_out > 0 ? " The others are known by their hashes alone." : "");
    }
    return verified;
}

Verified verify_proof(const VerifyOptions& o) {
    const std::string text = seal::read_small_file(o.what, kMostTextBytes);
    Verified verified{.kind = "proof",
                      .text = {},
                      .problems = {},
                      .size = {},
                      .root = {},
                      .key = {},
                      .key_trusted = false};
    bool fits = false;
    if (text.starts_with("holdwarden-inclusion/")) {
        const seal::InclusionProof proof = seal::parse_inclusion_proof(text);
        fits = seal::holds(proof);
        verified.size = proof.size;
        verified.root = proof.root;
        verified.text = fmt::format("The record is leaf {} of the history", proof.index + 1);
    } else {
        const seal::ConsistencyProof proof = seal::parse_consistency_proof(text);
        fits = seal::holds(proof);
        verified.size = proof.new_size;
        verified.root = proof.new_root;
        verified.text = fmt::format("The history of {} leaves with root {} is the beginning of the "
                                    "one",
                                    proof.old_size, seal::hex(proof.old_root));
    }
    verified.text += fmt::format(" of {} leaves with root {}\n"
                                 "Compare roots and sizes with signed checkpoints.\n",
                                 *verified.size, seal::hex(*verified.root));
    if (!fits) {
        verified.problems.emplace_back("the proof does not lead to the root it names");
    }
    return verified;
}

void print_text(const Verified& verified, std::ostream& out) {
    if (!verified.problems.empty()) {
        out << "The " << verified.kind << " DOES NOT FIT:\n";
        for (const std::string& problem : verified.problems) {
            out << "  " << problem << "\n";
        }
        out << "Keep it aside as it is; it is evidence.\n";
    } else {
        out << verified.text;
    }
    if (verified.key) {
        out << "Signed with key " << grouped(*verified.key) << "\n";
        if (!verified.key_trusted) {
            out << "Anybody can sign with a key of their own: compare these digits with those you "
                   "were given\non paper, or say them with --key.\n";
        }
    }
}

void print_json(const Verified& verified, std::ostream& out) {
    const auto digits = [](const std::optional<seal::Sha256>& hash) {
        return hash ? Json(seal::hex(*hash)) : Json{};
    };
    const Json answer{{"format", "holdwarden-verify/1"},
                      {"what", verified.kind},
                      {"fits", verified.problems.empty()},
                      {"problems", verified.problems},
                      {"size", verified.size ? Json(*verified.size) : Json{}},
                      {"root", digits(verified.root)},
                      {"key", digits(verified.key)},
                      {"key_trusted", verified.key_trusted}};
    out << answer.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

int run_verify(const VerifyOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    trusted_key(o.key); // refused before anything long begins
    const bool store = o.what.empty();
    if (!o.checkpoint.empty() && !store) {
        throw Error{ErrorKind::usage,
                    {.what = "--checkpoint is for the check of a store",
                     .where = "",
                     .fix = "leave out either it or '" + for_display(o.what, 80) + "'"}};
    }
    std::error_code code;
    Verified verified = store                               ? verify_store(o, context)
                        : fs::is_regular_file(o.what, code) ? verify_proof(o)
                                                            : verify_packet(o);
    (json ? print_json : print_text)(verified, context.out);
    return verified.problems.empty() ? kDone : kFailed;
}

} // namespace

std::vector<Command> verify_commands() {
    const auto options = std::make_shared<VerifyOptions>();
    return {
        {.name = "verify",
         .help = "Check that records are as they were written: a store's, a packet's, or a proof",
         .declare =
             [options](Arguments& arguments) {
                 arguments.may("what", options->what,
                               "A packet's folder or a proof's file; nothing: the store");
                 options->store.declare_reading(arguments);
                 arguments.option("--checkpoint", options->checkpoint,
                                  "A checkpoint.txt kept elsewhere, its .sig and public-key.pem "
                                  "beside it, to compare the store with");
                 arguments.option("--key", options->key,
                                  "The key you trust: its fingerprint, or its public-key.pem");
                 arguments.option("--format", options->format, "text or json");
                 arguments.example("holdwarden verify");
             },
         .run = [options](Context& context) { return run_verify(*options, context); }},
    };
}

} // namespace holdwarden::cli
