-- Break a unit, see the finding, apply the fix, save, commit: as a person does it, in an editor without a screen.
-- nvim --headless --clean -u NONE -S fix_in_neovim.lua, with the server's command in JOBKIT, the file in JOB, the report in REPORT.

local report = {}

local function finish()
  local out = io.open(vim.env.REPORT, "w")
  out:write(vim.fn.json_encode(report))
  out:close()
  vim.cmd("qall!")
end

local function wait_for(what, is_there)
  report[what] = vim.wait(30000, is_there, 20)
  if not report[what] then
    finish()
  end
end

local function found()
  return vim.diagnostic.get(0)
end

vim.cmd("edit " .. vim.fn.fnameescape(vim.env.JOB))
local client = vim.lsp.start_client({
  name = "jobkit",
  cmd = vim.split(vim.env.JOBKIT, "\n"),
  root_dir = vim.fn.fnamemodify(vim.env.JOB, ":h"),
})
vim.lsp.buf_attach_client(0, client)
wait_for("started", function()
  return vim.lsp.buf_is_attached(0, client) and vim.lsp.get_client_by_id(client).initialized
end)

local line = vim.fn.search([["0.4 Ω"]])
vim.api.nvim_buf_set_lines(0, line - 1, line, false, { 'value = "0.4 ohms"' })
wait_for("found", function()
  return #found() > 0
end)
report.message = found()[1].message
report.line = found()[1].lnum + 1
report.wanted_line = line

local range = { start = { line = line - 1, character = 0 }, ["end"] = { line = line - 1, character = 5 } }
local answers = vim.lsp.buf_request_sync(0, "textDocument/codeAction", {
  textDocument = vim.lsp.util.make_text_document_params(),
  range = range,
  context = { diagnostics = {} },
}, 30000)
local action = answers[client].result[1]
report.fix = action.title
vim.lsp.util.apply_workspace_edit(action.edit, vim.lsp.get_client_by_id(client).offset_encoding)
wait_for("fixed", function()
  return #found() == 0
end)
report.text = vim.api.nvim_buf_get_lines(0, line - 1, line, false)[1]

vim.fn.cursor(line, 12)
local hover = vim.lsp.buf_request_sync(0, "textDocument/hover", vim.lsp.util.make_position_params(), 30000)
report.hover = hover[client].result.contents.value

vim.api.nvim_buf_set_lines(0, -1, -1, false, { "# seen in an editor" })
vim.cmd("write")
report.commit = vim.fn.system({ "git", "-C", vim.fn.fnamemodify(vim.env.JOB, ":h"), "commit", "-qam", "A remark" })
report.committed = vim.v.shell_error == 0
vim.lsp.stop_client(client)
finish()
