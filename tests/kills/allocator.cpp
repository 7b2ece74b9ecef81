// Memory that runs out: loaded in front of a program, it refuses the n-th request that is made once
// main has begun. REFUSE_AT: n, from 0; REFUSE_ON: every later one too. REQUESTS_TO: a file that is
// told how many there were.
#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <new>

extern "C" {
// glibc's own, behind the names that stand in front of them here.
void* __libc_malloc(std::size_t size);
void* __libc_calloc(std::size_t count, std::size_t size);
void* __libc_realloc(void* old, std::size_t size);
void* __libc_memalign(std::size_t alignment, std::size_t size);
}

namespace {

std::atomic<bool> counting{false};
// Shared with the processes that the program starts: theirs count on.
std::atomic<long>& requests = *new (mmap(nullptr, sizeof(std::atomic<long>), PROT_READ | PROT_WRITE,
                                         MAP_SHARED | MAP_ANONYMOUS, -1, 0)) std::atomic<long>{0};
long refuse_at = -1;
bool refuse_on = false;

bool refused() noexcept {
    if (!counting) {
        return false;
    }
    const long n = requests++;
    const bool refuse = refuse_at >= 0 && (n == refuse_at || (refuse_on && n > refuse_at));
    if (refuse) {
        errno = ENOMEM;
    }
    return refuse;
}

void tell() noexcept {
    counting = false;
    if (const char* file = std::getenv("REQUESTS_TO")) {
        char text[32];
        const int length = std::snprintf(text, sizeof text, "%ld", requests.load());
        const int out = ::open(file, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
        if (out >= 0) {
            (void)!::write(out, text, static_cast<std::size_t>(length));
            ::close(out);
        }
    }
}

using Main = int (*)(int, char**, char**);
Main program_main = nullptr;

int counted_main(int argc, char** argv, char** environment) {
    if (const char* at = std::getenv("REFUSE_AT")) {
        refuse_at = std::atol(at);
    }
    refuse_on = std::getenv("REFUSE_ON") != nullptr;
    counting = true;
    const int status = program_main(argc, argv, environment);
    tell();
    return status;
}

} // namespace

extern "C" {

void* malloc(std::size_t size) noexcept {
    return refused() ? nullptr : __libc_malloc(size);
}
void* calloc(std::size_t count, std::size_t size) noexcept {
    return refused() ? nullptr : __libc_calloc(count, size);
}
void* realloc(void* old, std::size_t size) noexcept {
    return refused() ? nullptr : __libc_realloc(old, size);
}
void* memalign(std::size_t alignment, std::size_t size) noexcept {
    return refused() ? nullptr : __libc_memalign(alignment, size);
}
void* aligned_alloc(std::size_t alignment, std::size_t size) noexcept {
    return refused() ? nullptr : __libc_memalign(alignment, size);
}
int posix_memalign(void** out, std::size_t alignment, std::size_t size) noexcept {
    void* made = refused() ? nullptr : __libc_memalign(alignment, size);
    if (made == nullptr) {
        return ENOMEM;
    }
    *out = made;
    return 0;
}

/// What starts a program calls this with its main (LSB Core 5.0, base definitions).
int __libc_start_main(Main main, int argc, char** argv, void (*init)(), void (*fini)(),
                      void (*rtld_fini)(), void* stack_end);
}

#include <dlfcn.h>

int __libc_start_main(Main main, int argc, char** argv, void (*init)(), void (*fini)(),
                      void (*rtld_fini)(), void* stack_end) {
    program_main = main;
    using Start = int (*)(Main, int, char**, void (*)(), void (*)(), void (*)(), void*);
    const auto start = reinterpret_cast<Start>(dlsym(RTLD_NEXT, "__libc_start_main"));
    return start(counted_main, argc, argv, init, fini, rtld_fini, stack_end);
}
