#include "exporters/desk/desk.h"

#include <Standard_Failure.hxx>
#include <algorithm>
#include <array>
#include <filesystem>
#include <mutex>
#include <nlohmann/json.hpp>

#include "exporters/bytes/export_error.h"
#include "exporters/bytes/sha256.h"
#include "exporters/desk/checking.h"
#include "exporters/desk/document/edit.h"
#include "exporters/desk/document/gate_file.h"
#include "exporters/desk/form.h"
#include "exporters/desk/hand_out.h"
#include "exporters/desk/http/rules.h"
#include "exporters/desk/http/server.h"
#include "exporters/desk/page/bundle.h"
#include "exporters/desk/worker.h"
#include "generator/geometry/cancel.h"

namespace leafstack::desk {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::string_view kJson = "application/json; charset=utf-8";
constexpr std::string_view kLines = "application/x-ndjson; charset=utf-8";

std::string inText(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

void refuse(Answer& answer, const Refusal& refusal) {
  answer.send(refusal.status, kJson, inText({{"refused", refusal.why}}));
}

/// A member of a call's body; throws Refusal where it is not there or of another type.
template <class T>
T from(const Json& body, const char* name) {
  const auto found = body.find(name);
  if (found == body.end()) {
    throw Refusal{400, "something is missing in this call"};
  }
  try {
    return found->template get<T>();
  } catch (const Json::exception&) {
    throw Refusal{400, "something in this call is of another type"};
  }
}

}  // namespace

struct Desk::Parts {
  Parts(const Options& options, int port)
      : file(options.input),
        checking(options),
        path(options.input),
        output(options.output),
        server(port) {
    if (const auto text = file.read()) {
      checking.allowFilesOf(*text);
    }
  }

  using Call = void (Parts::*)(const Json& body, Answer& answer);
  struct Called {
    Route route;
    Call call;
  };
  static const std::array<Called, 14>& calls();

  void handle(const Request& request, Answer& answer);
  void sendFile(std::string_view target, Answer& answer);
  void callByName(const Called& called, const Request& request, Answer& answer);

  void lookAhead();
  void begin(const Json& body, Answer& answer);
  void open(const Json& body, Answer& answer);
  void look(const Json& body, Answer& answer);
  void check(const Json& body, Answer& answer);
  void cures(const Json& body, Answer& answer);
  void scene(const Json& body, Answer& answer);
  void glb(const Json& body, Answer& answer);
  void shapes(const Json& body, Answer& answer);
  void compare(const Json& body, Answer& answer);
  void save(const Json& body, Answer& answer);
  void forget(const Json& body, Answer& answer);
  void build(const Json& body, Answer& answer);
  void zip(const Json& body, Answer& answer);
  void cancel(const Json& body, Answer& answer);

  /// Work on the gate as it is now; an empty text is answered as nothing to show.
  void follow(const Json& body, Answer& answer, std::string_view type,
              const std::function<std::string(const std::string& text)>& work);
  bool isLate(const Json& body);
  std::string address(const std::string& once) const {
    return "http://" + server.host() + "/#" + once;
  }

  std::mutex mutex;  ///< for what follows, up to the empty line
  GateFile file;
  std::string code, token;
  std::string zipped, unsaved;
  std::string at_work;  ///< the gate that edits' lane was asked about last
  long turn = 0;

  Checking checking;  ///< the worker's
  std::string path, output;
  Worker worker;
  Server server;  // last: its threads use the others
};

const std::array<Desk::Parts::Called, 14>& Desk::Parts::calls() {
  static const std::array<Called, 14> kCalls = {{
      {{"/begin", true, /*needs_pass=*/false}, &Parts::begin},
      {{"/open", true}, &Parts::open},
      {{"/look", true}, &Parts::look},
      {{"/check", true}, &Parts::check},
      {{"/cures", true}, &Parts::cures},
      {{"/scene", true}, &Parts::scene},
      {{"/glb", true}, &Parts::glb},
      {{"/shapes", true}, &Parts::shapes},
      {{"/compare", true}, &Parts::compare},
      {{"/save", true}, &Parts::save},
      {{"/forget", true}, &Parts::forget},
      {{"/build", true}, &Parts::build},
      {{"/zip", true}, &Parts::zip},
      {{"/cancel", true}, &Parts::cancel},
  }};
  return kCalls;
}

void Desk::Parts::handle(const Request& request, Answer& answer) {
  const auto& all = calls();
  const auto called = std::find_if(all.begin(), all.end(), [&](const Called& one) {
    return one.route.target == request.target;
  });
  const bool is_file = pageFile(request.target).has_value();
  const Route file_route{request.target};
  const Route* const route = called != all.end() ? &called->route : is_file ? &file_route : nullptr;
  Guard guard{server.host(), ""};
  {
    const std::lock_guard lock(mutex);
    guard.token = token;
  }
  if (const auto refusal = refusalOf(request, route, guard)) {
    refuse(answer, *refusal);
  } else if (called == all.end()) {
    const PageFile file_asked = *pageFile(request.target);
    answer.send(200, file_asked.type, file_asked.bytes);
  } else {
    callByName(*called, request, answer);
  }
}

void Desk::Parts::callByName(const Called& called, const Request& request, Answer& answer) {
  const auto tellFault = [&](const std::string& what) {
    if (!answer.isBegun()) {
      answer.send(500, kJson, inText({{"fault", what}}));
    }
  };
  try {
    const Json body = Json::parse(request.body, nullptr, /*allow_exceptions=*/false);
    if (!body.is_object()) {
      throw Refusal{400, "the call is no JSON object"};
    }
    (this->*called.call)(body, answer);
  } catch (const Refusal& refusal) {
    refuse(answer, refusal);
  } catch (const Stop& stop) {
    tellFault(stop.lines.empty() ? "" : stop.lines.front());
  } catch (const std::exception& error) {
    tellFault(error.what());
  } catch (const Standard_Failure& error) {
    tellFault(std::string("the kernel failed: ") + error.GetMessageString());
  }
}

/// A code opens the desk once. Whoever tries another is not told how near it was.
void Desk::Parts::begin(const Json& body, Answer& answer) {
  const auto tried = from<std::string>(body, "code");
  const std::lock_guard lock(mutex);
  if (code.empty() || !isSameSecret(tried, code)) {
    throw Refusal{403,
                  "this address was used already; press Enter where the program runs for a "
                  "new one"};
  }
  code.clear();
  token = newSecret();
  turn = 0;
  answer.send(200, kJson, inText({{"pass", token}}));
}

void Desk::Parts::open(const Json&, Answer& answer) {
  const std::lock_guard lock(mutex);
  const auto text = file.read();
  Json json;
  json["name"] = file.name();
  json["text"] = text ? *text : starterGate();
  json["is_new"] = !text;
  json["unsaved"] = unsaved.empty() || unsaved == text ? Json() : Json(unsaved);
  const auto left = file.left();
  json["left"] = left && left != text ? Json(*left) : Json();
  json["has_company"] = file.hasCompany();
  json["folder"] =
      output.empty() ? Json() : Json(std::filesystem::path(output).filename().string());
  json["outputs"] = Json::parse(outputsJson());
  json["form"] = Json::parse(formJson());
  answer.send(200, kJson, inText(json));
}

/// What may have changed without the page: the file on the disk, other desks.
void Desk::Parts::look(const Json&, Answer& answer) {
  const std::lock_guard lock(mutex);
  answer.send(200, kJson,
              inText({{"is_as_known", file.isAsKnown()}, {"has_company", file.hasCompany()}}));
}

bool Desk::Parts::isLate(const Json& body) {
  const auto own = from<long>(body, "turn");
  const std::lock_guard lock(mutex);
  const bool is_late = own < turn;
  turn = std::max(turn, own);
  return is_late;
}

void Desk::Parts::follow(const Json& body, Answer& answer, std::string_view type,
                         const std::function<std::string(const std::string& text)>& work) {
  const auto text = from<std::string>(body, "text");
  std::string result;
  const bool is_late = isLate(body);
  if (is_late ||
      !worker.run(Worker::Lane::kEdit, [&](const std::atomic<bool>&) { result = work(text); })) {
    throw Refusal{409, "a newer state of the gate was asked about"};
  }
  answer.send(200, type, result);
}

/// With edits, the text that they give comes back.
void Desk::Parts::check(const Json& body, Answer& answer) {
  if (isLate(body)) {
    throw Refusal{409, "a newer state of the gate was asked about"};
  }
  auto text = from<std::string>(body, "text");
  std::vector<Edit> edits;
  if (const auto found = body.find("edits"); found != body.end()) {
    for (const Json& one : *found) {
      const Json typed = one.is_object() && one.contains("typed") ? one["typed"] : Json();
      edits.push_back({from<std::string>(one, "pointer"),
                       typed.is_string() ? std::optional(typed.get<std::string>()) : std::nullopt});
    }
  }
  Json texts = Json::array();  // after each edit, for as many steps back
  try {
    for (const Edit& edit : edits) {
      text = edited(std::move(text), {&edit, 1});
      texts.push_back(text);
    }
  } catch (const std::invalid_argument&) {
    throw Refusal{400, "the text is no gate file that could be edited"};
  }
  if (text.size() > kMaxGateFileBytes) {
    throw Refusal{413, "the gate file is larger than any"};
  }
  {
    // Of two that come at once the older must neither stay nor call the newer off.
    const std::lock_guard lock(mutex);
    if (from<long>(body, "turn") < turn) {
      throw Refusal{409, "a newer state of the gate was asked about"};
    }
    unsaved = from<bool>(body, "is_saved") && edits.empty() ? "" : text;
    file.keep(unsaved);
    if (text != at_work) {
      worker.callOff(Worker::Lane::kEdit);
    }
    at_work = text;
  }
  std::string result;
  if (!worker.run(Worker::Lane::kEdit,
                  [&](const std::atomic<bool>&) { result = checking.answer(text); })) {
    throw Refusal{409, "a newer state of the gate was asked about"};
  }
  // The page asks for the picture next, once it has read the answer.
  worker.begin(Worker::Lane::kEdit,
               [this, text](const std::atomic<bool>&) { checking.scene(text); });
  result.pop_back();
  answer.send(200, kJson,
              result + ",\"text\":" + inText(text) + ",\"texts\":" + inText(texts) + "}");
}

void Desk::Parts::cures(const Json& body, Answer& answer) {
  follow(body, answer, kJson, [this](const std::string& text) { return checking.cures(text); });
}

void Desk::Parts::scene(const Json& body, Answer& answer) {
  follow(body, answer, kJson, [this](const std::string& text) {
    const std::string& scene = checking.scene(text);
    return scene.empty() ? "null" : scene;
  });
}

void Desk::Parts::glb(const Json& body, Answer& answer) {
  follow(body, answer, "model/gltf-binary",
         [this](const std::string& text) { return checking.glb(text); });
}

void Desk::Parts::shapes(const Json& body, Answer& answer) {
  follow(body, answer, kJson, [this](const std::string& text) { return checking.shapes(text); });
}

void Desk::Parts::compare(const Json& body, Answer& answer) {
  follow(body, answer, kJson, [this](const std::string& text) {
    const std::string found = checking.arrangements(text);
    return found.empty() ? "null" : found;
  });
}

void Desk::Parts::save(const Json& body, Answer& answer) {
  const auto text = from<std::string>(body, "text");
  const auto over = from<bool>(body, "over");
  const std::lock_guard lock(mutex);
  const Saved saved = file.save(text, over);
  unsaved = saved == Saved::kDone ? "" : unsaved;
  answer.send(200, kJson,
              inText({{"saved", saved == Saved::kDone}, {"has_company", file.hasCompany()}}));
}

/// What an earlier desk left is taken over, or not wanted.
void Desk::Parts::forget(const Json&, Answer& answer) {
  const std::lock_guard lock(mutex);
  file.forgetLeft();
  answer.send(200, kJson, "{}");
}

void Desk::Parts::build(const Json& body, Answer& answer) {
  HandOutOrder order;
  order.text = from<std::string>(body, "text");
  order.only = from<std::vector<std::string>>(body, "only");
  const bool as_zip = from<bool>(body, "zip");
  if (!as_zip && output.empty()) {
    throw Refusal{400, "this desk was begun without a folder for hand-outs"};
  }
  if (!areOutputs(order.only)) {
    throw Refusal{400, "there is no such output"};
  }
  order.folder = as_zip ? "" : output;
  order.gate_path = path;
  answer.begin(200, kLines);
  const auto tell = [&](std::string_view stage, int done, int total) {
    if (!answer.write(inText({{"stage", stage}, {"done", done}, {"total", total}}) + "\n")) {
      throw Cancelled{};
    }
  };
  HandOut made;
  Json last;
  try {
    const bool is_done = worker.run(Worker::Lane::kHandOut, [&](const std::atomic<bool>& is_over) {
      made = handOut(checking, order, is_over, tell);
    });
    last = is_done
               ? Json{{"files", made.files}, {"verdict", made.verdict_line}, {"kept", made.kept}}
               : Json{{"cancelled", true}};
    const std::lock_guard lock(mutex);
    zipped = std::move(made.zip);
  } catch (const Stop& stop) {
    last = {{"failed", stop.lines}};
  } catch (const std::exception& error) {
    last = {{"failed", std::vector<std::string>{error.what()}}};
  } catch (const Standard_Failure& error) {
    last = {{"failed", std::vector<std::string>{error.GetMessageString()}}};
  }
  answer.write(inText(last) + "\n");
}

/// The zip that was handed out last, once.
void Desk::Parts::zip(const Json&, Answer& answer) {
  std::string bytes;
  {
    const std::lock_guard lock(mutex);
    bytes.swap(zipped);
  }
  if (bytes.empty()) {
    throw Refusal{404, "there is no zip to take"};
  }
  answer.send(200, "application/zip", bytes);
}

void Desk::Parts::cancel(const Json&, Answer& answer) {
  worker.callOff(Worker::Lane::kHandOut);
  answer.send(200, kJson, "{}");
}

/// What a page will ask for first is looked at while the browser begins.
void Desk::Parts::lookAhead() {
  const auto text = file.read();
  at_work = text ? *text : starterGate();
  worker.begin(Worker::Lane::kEdit, [this, ahead = at_work](const std::atomic<bool>&) {
    checking.answer(ahead);
    checking.scene(ahead);
  });
}

Desk::Desk(const Options& options, int port) : parts_(std::make_unique<Parts>(options, port)) {
  parts_->lookAhead();
  parts_->server.start([parts = parts_.get()](const Request& request, Answer& answer) {
    parts->handle(request, answer);
  });
}

Desk::~Desk() {
  parts_->server.stop();
  parts_->worker.callOff(Worker::Lane::kEdit);
  parts_->worker.callOff(Worker::Lane::kHandOut);
}

std::string Desk::freshAddress() {
  const std::lock_guard lock(parts_->mutex);
  parts_->code = newSecret();
  return parts_->address(parts_->code);
}

int Desk::port() const {
  return parts_->server.port();
}

}  // namespace leafstack::desk
