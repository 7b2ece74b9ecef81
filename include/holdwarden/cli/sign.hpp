#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/people.hpp>

#include <span>
#include <string>
#include <string_view>

namespace holdwarden::cli {

/// The option of a command that a person signs. Who signs is the one of --by.
struct SignArguments {
    std::string pin_file;

    /// Adds --pin-file.
    void declare(Arguments& arguments);
};

/// Asks for a secret: a line of `file`, of standard input when `file` is "-", else on the terminal
/// without echo, after `prompt`. A file that others than its owner may read is refused. Throws
/// Error{usage} when there is neither file nor terminal. Wipe what it returns (seal::wipe).
std::string ask_secret(const std::string& file, const char* option, std::string_view prompt,
                       Context& context);

/// The person of --by, who has given their PIN: 21 CFR 11.200(a)(1), two parts, a name and a PIN.
///
/// Call it before Store::atomically, not inside: the attempt stays on record when the PIN is wrong
/// (21 CFR 11.300(d), from memory), and after five wrong ones in a row further attempts wait.
/// `purpose` says what is signed ("verify action 12"); it is kept with the attempt and asked with
/// the PIN. Of `roles`, the person must have one; with none, anybody described may sign.
///
/// Throws Error{usage} when nobody is named, Error{not_found} when the person was not described,
/// Error{conflict} when retired, without a PIN, without the role, or made to wait, and
/// Error{bad_input} for a wrong PIN.
records::Recorded<records::PersonId, records::Person>
sign(const OpenStore& store, const SignArguments& arguments, std::string_view purpose,
     std::span<const records::Role> roles, Context& context);

/// Refuses, with the words of records::may_verify, what the signer of --by may not verify; returns
/// what a sheet prints beside the verification ("" for two people). `what` names the entry.
std::string check_may_verify(const OpenStore& store, std::string_view maker,
                             std::string_view verifier, std::string_view what);

/// "who signs" in full: the printed name, or the short one where no other was given.
std::string printed_name(const records::Person& person);

} // namespace holdwarden::cli
