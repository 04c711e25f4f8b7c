// SPDX-License-Identifier: MIT
#pragma once
#include <arpa/inet.h>
#include <signal.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <thread>

namespace stillbox {

/// A headless Chromium for tests, by chromedriver and the W3C's WebDriver protocol (HTTP and JSON) on this machine
/// only. Software graphics, so that WebGL is there without a graphics card. Both end with the object.
struct Browser {
  using Json = nlohmann::json;

  Browser() {
    port = free_port();
    driver = fork();
    if (driver == 0) {
      const std::string option = "--port=" + std::to_string(port);
      if (!std::freopen("/dev/null", "w", stdout) || !std::freopen("/dev/null", "w", stderr)) _exit(126);
      execlp("chromedriver", "chromedriver", option.c_str(), static_cast<char *>(nullptr));
      _exit(127);
    }
    const auto until = std::chrono::steady_clock::now() + std::chrono::seconds(60);
    for (bool ready = false; !ready;) {
      int state = 0;
      if (waitpid(driver, &state, WNOHANG) == driver) {
        driver = -1;
        throw std::runtime_error("chromedriver does not start: bash tests/setup installs chromium-driver");
      }
      if (std::chrono::steady_clock::now() > until) throw std::runtime_error("chromedriver does not answer");
      try {
        ready = call("GET", "/status", {})["ready"];
      } catch (const std::exception &) {
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
      }
    }
    const Json arguments = {"--headless=new",          "--no-sandbox",
                            "--disable-dev-shm-usage", "--use-gl=angle",
                            "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
                            "--window-size=1000,900",  "--hide-scrollbars",
                            "--disable-extensions",    "--disable-background-networking"};
    const Json wanted = {
        {"capabilities",
         {{"alwaysMatch",
           {{"goog:loggingPrefs", {{"browser", "ALL"}}}, {"goog:chromeOptions", {{"args", arguments}}}}}}}};
    session = "/session/" + call("POST", "/session", wanted)["sessionId"].get<std::string>();
  }
  ~Browser() {
    try {
      if (!session.empty()) call("DELETE", session, {});
    } catch (const std::exception &) {
    }
    if (driver > 0) {
      kill(driver, SIGTERM);
      waitpid(driver, nullptr, 0);
    }
  }
  Browser(const Browser &) = delete;
  Browser &operator=(const Browser &) = delete;

  void open(const std::string &path) { post("/url", {{"url", "file://" + path}}); }
  /// What a script returns (its body, with `return`).
  Json run(const std::string &script) { return post("/execute/sync", {{"script", script}, {"args", Json::array()}}); }
  /// What a script hands to its callback, arguments[0].
  Json wait_for(const std::string &script) {
    return post("/execute/async", {{"script", script}, {"args", Json::array()}});
  }
  Json devtools(const std::string &command, const Json &parameters) {
    return post("/goog/cdp/execute", {{"cmd", command}, {"params", parameters}});
  }
  /// Types into the element of a CSS selector; keys are those of WebDriver (U+E012 is the left arrow).
  void type(const std::string &selector, const std::string &keys) {
    post("/element/" + element(selector) + "/value", {{"text", keys}});
  }
  void click(const std::string &selector) { post("/element/" + element(selector) + "/click", Json::object()); }
  /// PNG as base64.
  std::string screenshot() { return call("GET", session + "/screenshot", {}); }
  /// PDF as base64; sizes in cm.
  std::string print(double width, double height) {
    return post("/print", {{"page", {{"width", width}, {"height", height}}},
                           {"margin", {{"top", 1.4}, {"bottom", 1.5}, {"left", 1.3}, {"right", 1.3}}},
                           {"background", true}});
  }
  /// What the page said to the console since the last call.
  Json console() { return post("/se/log", {{"type", "browser"}}); }

 private:
  int port = 0;
  pid_t driver = -1;
  std::string session;

  static sockaddr_in address(int port) {
    sockaddr_in a{};
    a.sin_family = AF_INET;
    a.sin_port = htons(std::uint16_t(port));
    a.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    return a;
  }
  static int free_port() {
    const int s = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in a = address(0);
    socklen_t length = sizeof a;
    if (s < 0 || bind(s, reinterpret_cast<sockaddr *>(&a), sizeof a) != 0 ||
        getsockname(s, reinterpret_cast<sockaddr *>(&a), &length) != 0)
      throw std::runtime_error("no port is free");
    close(s);
    return ntohs(a.sin_port);
  }
  std::string element(const std::string &selector) {
    const Json found = post("/element", {{"using", "css selector"}, {"value", selector}});
    return found.begin().value();
  }
  Json post(const std::string &what, const Json &body) { return call("POST", session + what, body); }
  Json call(const std::string &method, const std::string &what, const Json &body) {
    const int s = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in a = address(port);
    if (s < 0 || connect(s, reinterpret_cast<sockaddr *>(&a), sizeof a) != 0) {
      close(s);
      throw std::runtime_error("no connection to chromedriver");
    }
    const timeval patience{90, 0};
    setsockopt(s, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    const std::string content = method == "POST" ? body.dump() : "";
    const std::string request =
        method + " " + what + " HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port) +
        "\r\nContent-Type: application/json\r\nConnection: close\r\nContent-Length: " + std::to_string(content.size()) +
        "\r\n\r\n" + content;
    for (std::size_t sent = 0; sent < request.size();) {
      const ssize_t n = send(s, request.data() + sent, request.size() - sent, MSG_NOSIGNAL);
      if (n <= 0) break;
      sent += std::size_t(n);
    }
    std::string answer;
    char buffer[65536];
    for (ssize_t n; (n = recv(s, buffer, sizeof buffer, 0)) > 0;) {
      answer.append(buffer, std::size_t(n));
      const std::size_t head = answer.find("\r\n\r\n"), key = answer.find("ontent-Length:");
      if (head != std::string::npos && key < head && answer.size() >= head + 4 + std::stoul(answer.substr(key + 14)))
        break;
    }
    close(s);
    const std::size_t start = answer.find("\r\n\r\n");
    if (start == std::string::npos) throw std::runtime_error("chromedriver said nothing to " + what);
    const Json value = Json::parse(answer.substr(start + 4)).at("value");
    if (value.is_object() && value.contains("error"))
      throw std::runtime_error(what + ": " + value["error"].get<std::string>() + ": " +
                               value.value("message", "").substr(0, 400));
    return value;
  }
};

}  // namespace stillbox
