// See docs/decisions/0093-pdf-is-drawn-by-a-process-of-its-own.md.
#include "drawn_apart.hpp"

#include "messages.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <exception>
#include <new>
#include <optional>
#include <string_view>
#include <utility>

namespace holdwarden::sheets {
namespace {

/// What an answer begins with. An error's kind and texts follow, a NUL after each text.
enum class Answer : char { drawn = 'D', error = 'E', no_memory = 'M' };

[[noreturn]] void fail(const std::string& why) {
    throw Error{ErrorKind::bad_input,
                {.what = fmt::format(msg::drawing_failed, why),
                 .where = "",
                 .fix = msg::drawing_failed_fix}};
}

/// What the drawing process says on standard error: its libraries' own words, shown only when
/// nothing was drawn.
class LastWords {
public:
    LastWords() : file_{::memfd_create("drawing", MFD_CLOEXEC)} {
        if (file_ < 0) {
            fail(std::strerror(errno));
        }
    }
    LastWords(const LastWords&) = delete;
    LastWords& operator=(const LastWords&) = delete;
    ~LastWords() { ::close(file_); }

    void take_standard_error() const noexcept { (void)::dup2(file_, STDERR_FILENO); }

    /// The last line that is not empty, as may be shown; "" if there is none.
    std::string shown() const {
        std::array<char, 4096> end{};
        const off_t size = ::lseek(file_, 0, SEEK_END);
        const off_t from = std::max<off_t>(0, size - static_cast<off_t>(end.size()));
        const ssize_t n = ::pread(file_, end.data(), end.size(), from);
        std::string_view words{end.data(), n < 0 ? 0 : static_cast<std::size_t>(n)};
        words = words.substr(0, words.find_last_not_of('\n') + 1);
        return for_display(words.substr(words.rfind('\n') + 1));
    }

private:
    int file_;
};

/// A pipe whose ends close with it.
class Pipe {
public:
    Pipe() {
        if (::pipe2(ends_.data(), O_CLOEXEC) != 0) {
            fail(std::strerror(errno));
        }
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    ~Pipe() {
        close_one(0);
        close_one(1);
    }
    void close_reading() noexcept { close_one(0); }
    void close_writing() noexcept { close_one(1); }
    int reading() const noexcept { return ends_[0]; }
    int writing() const noexcept { return ends_[1]; }

private:
    void close_one(std::size_t end) noexcept {
        if (ends_.at(end) >= 0) {
            ::close(std::exchange(ends_.at(end), -1));
        }
    }
    std::array<int, 2> ends_{-1, -1};
};

bool write_all(int to, std::string_view bytes) noexcept {
    while (!bytes.empty()) {
        const ssize_t n = ::write(to, bytes.data(), bytes.size());
        if (n < 0 && errno != EINTR) {
            return false;
        }
        bytes.remove_prefix(n < 0 ? 0 : static_cast<std::size_t>(n));
    }
    return true;
}

/// Its kind and length, then what it says: what is cut off is seen.
bool answer(int to, Answer kind, std::string_view says) noexcept {
    std::array<char, 32> head{};
    const int length =
        std::snprintf(head.data(), head.size(), "%c%zu\n", static_cast<char>(kind), says.size());
    return write_all(to, {head.data(), static_cast<std::size_t>(length)}) && write_all(to, says);
}

/// Nothing may leave this process but by its answer: what it holds of the program is the other's.
bool draw_and_answer(const std::function<std::string()>& draw, int to) noexcept {
    try {
        return answer(to, Answer::drawn, draw());
    } catch (const Error& e) {
        std::string texts{static_cast<char>(e.kind())};
        for (const std::string& text : {e.text().what, e.text().where, e.text().fix}) {
            texts += text;
            texts += '\0';
        }
        return answer(to, Answer::error, texts);
    } catch (const std::bad_alloc&) {
        return answer(to, Answer::no_memory, {});
    } catch (...) {
        return false;
    }
}

[[noreturn]] void be_the_drawing_process(const std::function<std::string()>& draw, pid_t parent,
                                         const LastWords& last_words, Pipe& pipe) {
    const rlimit no_core{0, 0};
    (void)::setrlimit(RLIMIT_CORE, &no_core);
    (void)::prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (::getppid() != parent) { // it ended before it could be said
        ::_exit(1);
    }
    pipe.close_reading();
    last_words.take_standard_error();
    std::set_terminate([] { ::_exit(1); }); // the other process tells it
    std::set_new_handler(nullptr);
    // Without what a program does at its end: that is for the other process.
    ::_exit(draw_and_answer(draw, pipe.writing()) ? 0 : 1);
}

/// The process is waited for wherever its answer is left.
class Child {
public:
    explicit Child(pid_t id) noexcept : id_{id} {}
    Child(const Child&) = delete;
    Child& operator=(const Child&) = delete;
    ~Child() {
        if (id_ > 0) {
            ::kill(id_, SIGKILL);
            wait();
        }
    }
    void wait() noexcept {
        while (::waitpid(id_, nullptr, 0) < 0 && errno == EINTR) {
        }
        id_ = -1;
    }

private:
    pid_t id_;
};

/// The processor time of a process's first thread, in clock ticks (proc(5),
/// /proc/PID/task/TID/stat); -1 where there is none to be read. Asks for no memory.
long long ticks_of(pid_t id) noexcept {
    std::array<char, 64> name{};
    (void)std::snprintf(name.data(), name.size(), "/proc/%d/task/%d/stat", id, id);
    const int file = ::open(name.data(), O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        return -1;
    }
    std::array<char, 1024> text{};
    const ssize_t n = ::read(file, text.data(), text.size() - 1);
    ::close(file);
    const char* after_name = n <= 0 ? nullptr : std::strrchr(text.data(), ')');
    long long user = 0;
    long long system = 0;
    const bool found =
        after_name != nullptr &&
        std::sscanf(after_name, ") %*c %*d %*d %*d %*d %*d %*u %*u %*u %*u %*u %lld %lld", &user,
                    &system) == 2;
    return found ? user + system : -1;
}

/// Whether a process has used up the patience with it; asked about once a second. Its first thread
/// counts: another may run on for ever while that one waits for it.
class Watch {
public:
    Watch(pid_t id, Patience patience) noexcept : id_{id}, patience_{patience} {}

    bool is_over() noexcept {
        const long long ticks = ticks_of(id_);
        if (ticks != last_) {
            last_ = ticks;
            still_since_ = Clock::now();
        }
        return ticks >= 0 && (ticks >= patience_.busy.count() * ::sysconf(_SC_CLK_TCK) ||
                              Clock::now() - still_since_ >= patience_.still);
    }

private:
    using Clock = std::chrono::steady_clock;
    pid_t id_;
    Patience patience_;
    long long last_ = 0;
    Clock::time_point still_since_ = Clock::now();
};

/// All that comes, until the other end is closed.
std::string read_all(int from, Watch watch) {
    constexpr int kSecond = 1000;
    std::string bytes;
    std::array<char, 65536> piece;
    for (;;) {
        pollfd ready{from, POLLIN, 0};
        const int polled = ::poll(&ready, 1, kSecond);
        if (polled == 0 && watch.is_over()) {
            fail(msg::drawing_took_too_long);
        }
        const ssize_t n = polled > 0 ? ::read(from, piece.data(), piece.size()) : 0;
        if (polled > 0 && n == 0) {
            return bytes;
        }
        if ((polled < 0 || n < 0) && errno != EINTR) {
            fail(std::strerror(errno));
        }
        bytes.append(piece.data(), n < 0 ? 0 : static_cast<std::size_t>(n));
    }
}

struct Answered {
    Answer kind;
    std::string_view says;
};

/// nullopt: it is not whole.
std::optional<Answered> read_answer(std::string_view bytes) {
    const std::size_t head = bytes.find('\n');
    std::size_t length = 0;
    if (head == std::string_view::npos ||
        std::from_chars(bytes.data() + 1, bytes.data() + head, length).ec != std::errc{} ||
        bytes.size() != head + 1 + length) {
        return std::nullopt;
    }
    return Answered{static_cast<Answer>(bytes.front()), bytes.substr(head + 1)};
}

[[noreturn]] void throw_answered(std::string_view texts) {
    const auto kind = static_cast<ErrorKind>(texts.front());
    texts.remove_prefix(1);
    const auto next = [&] {
        const std::size_t end = texts.find('\0');
        const std::string text{texts.substr(0, end)};
        texts.remove_prefix(end + 1);
        return text;
    };
    std::string what = next();
    std::string where = next();
    std::string fix = next();
    throw Error{kind, {.what = std::move(what), .where = std::move(where), .fix = std::move(fix)}};
}

} // namespace

std::string drawn_apart(const std::function<std::string()>& draw, Patience patience) {
    const LastWords last_words;
    Pipe pipe;
    const pid_t here = ::getpid();
    const pid_t id = ::fork();
    if (id < 0) {
        fail(std::strerror(errno));
    }
    if (id == 0) {
        be_the_drawing_process(draw, here, last_words, pipe);
    }
    Child child{id};
    pipe.close_writing();
    const std::string bytes = read_all(pipe.reading(), Watch{id, patience});
    child.wait();
    const std::optional<Answered> answered = read_answer(bytes);
    if (!answered) {
        const std::string said = last_words.shown();
        fail(said.empty() ? msg::drawing_was_ended : fmt::format(msg::drawing_was_ended_by, said));
    }
    switch (answered->kind) {
    case Answer::error:
        throw_answered(answered->says);
    case Answer::no_memory:
        throw std::bad_alloc{};
    case Answer::drawn:
        break;
    }
    return std::string{answered->says};
}

} // namespace holdwarden::sheets
