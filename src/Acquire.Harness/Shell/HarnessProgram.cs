using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Parsing;
using Acquire.Recordings;

namespace Acquire.Harness.Shell;

/// <summary>The whole command: verbs, and what becomes of errors.</summary>
internal static class HarnessProgram
{
    private const int LongestLine = 1_000;

    private static readonly Option<bool> Verbose = new("--verbose")
    {
        Description = "Print where an error came from, with its stack trace.",
        Recursive = true,
    };

    /// <summary>Builds the command with all its verbs.</summary>
    public static Command CreateRoot()
    {
        // Not a RootCommand: that takes its name from the assembly, which is not the command's.
        Command root = new("acquire",
            "The engine under a display for older swept instruments: digitised ramp and vertical voltages become sweeps, traces and chart sheets.");
        root.Options.Add(new HelpOption());
        root.Options.Add(new VersionOption());
        root.Options.Add(Verbose);
        root.Subcommands.Add(Demo.DemoCommand.Create());
        root.Subcommands.Add(Replay.ReplayCommand.Create());
        root.Subcommands.Add(Capturing.CaptureCommand.Create());
        root.Subcommands.Add(Synth.SynthCommand.Create());
        root.Subcommands.Add(Inspect.InspectCommand.Create());
        return root;
    }

    /// <summary>Runs the command and returns its exit code. Never throws.</summary>
    /// <param name="args">As given by the shell.</param>
    /// <param name="output">For what people read.</param>
    /// <param name="error">For errors and progress.</param>
    /// <param name="cancel">Cancelled by Ctrl-C.</param>
    public static int Run(string[] args, TextWriter output, TextWriter error, CancellationToken cancel)
    {
        bool verbose = args.Contains("--verbose", StringComparer.Ordinal);
        using GuardedText sure = GuardedText.ForError(error);
        error = sure;
        try
        {
            if (args.Length == 0) throw new CommandFailure(ExitCode.Usage, "a verb is missing; see acquire --help");

            ParseResult parsed = Parse(args);
            // Help and the version are written by the parser itself; verbs look after what they write, and ask standard output whether it is a terminal.
            bool written = parsed.Action == parsed.CommandResult.Command.Action;
            return parsed.InvokeAsync(Invocation(written ? output : GuardedText.ForOutput(output), error), cancel).GetAwaiter().GetResult();
        }
#pragma warning disable CA1031 // the border of the program: whatever happens becomes one line and a code
        catch (Exception exception)
#pragma warning restore CA1031
        {
            (int code, string line) = Explain(exception);
            if (line.Length > 0) error.WriteLine("acquire: " + LineOf(line));
            if (verbose) error.WriteLine(exception);
            return code;
        }
        finally
        {
            output.Flush();
            error.Flush();
        }
    }

    /// <summary>Runs one verb inside another; its tables go nowhere, and its failure is the caller's.</summary>
    /// <param name="args">As on the command line.</param>
    /// <param name="cancel">Cancelled by Ctrl-C.</param>
    public static void RunInside(string[] args, CancellationToken cancel)
    {
        ParseResult parsed = Parse(args);
        parsed.InvokeAsync(Invocation(TextWriter.Null, TextWriter.Null), cancel).GetAwaiter().GetResult();
    }

    private static ParseResult Parse(string[] args)
    {
        // No response files: a name may begin with @. No bundling: there are no one-letter options to bundle.
        ParseResult parsed = CreateRoot().Parse(args, new ParserConfiguration { EnablePosixBundling = false, ResponseFileTokenReplacer = null });
        return parsed.Errors.Count == 0 ? parsed : throw new CommandFailure(ExitCode.Usage, UsageLine(parsed));
    }

    private static InvocationConfiguration Invocation(TextWriter output, TextWriter error) => new()
    {
        Output = output,
        Error = error,
        EnableDefaultExceptionHandler = false,
        ProcessTerminationTimeout = null,
    };

    private static string UsageLine(ParseResult parsed)
    {
        Command root = parsed.RootCommandResult.Command, command = parsed.CommandResult.Command;
        string? first = parsed.Tokens.Count > 0 ? parsed.Tokens[0].Value : null;
        if (command == root && first is not null && !first.StartsWith('-'))
            return $"'{first}' is no verb; the verbs are {string.Join(", ", root.Subcommands.Select(verb => verb.Name))}; see acquire --help";
        string help = command == root ? "acquire --help" : $"acquire {command.Name} --help";
        if (command.Arguments.FirstOrDefault(argument => argument.Arity.MinimumNumberOfValues > 0 && parsed.GetResult(argument) is null or { Tokens.Count: 0 }) is { } missing)
        {
            // An option whose file may be left out takes the word behind it, which was perhaps meant for the verb.
            OptionResult? taker = parsed.CommandResult.Children.OfType<OptionResult>().FirstOrDefault(option =>
                option is { Option.Arity: { MinimumNumberOfValues: 0, MaximumNumberOfValues: 1 }, Tokens.Count: 1 } && option.Option.ValueType != typeof(bool));
            return taker is null
                ? $"{missing.Name} is missing; see {help}"
                : $"{missing.Name} is missing; {taker.Option.Name} took '{taker.Tokens[0].Value}' as its file: write {missing.Name} before {taker.Option.Name}, or {taker.Option.Name}=-";
        }

        return $"{parsed.Errors[0].Message.TrimEnd('.')}; see {help}";
    }

    private static (int Code, string Line) Explain(Exception exception) => exception switch
    {
        CommandFailure failure => (failure.ExitCode, failure.Message),
        OperationCanceledException => (ExitCode.Stopped, "stopped"),
        BrokenOutputException => (ExitCode.Stopped, ""),
        SetupFileException { Failure: not SetupFileFailure.Unreadable } => (ExitCode.Usage, exception.Message),
        SetupFileException => (ExitCode.Unreadable, exception.Message),
        UnauthorizedAccessException => (ExitCode.Unreadable, exception.Message),
        IOException => (ExitCode.Unreadable, exception.Message),
        InvalidDataException => (ExitCode.Unreadable, exception.Message),
        ArgumentException => (ExitCode.Usage, exception.Message),
        OutOfMemoryException => (ExitCode.Usage, "memory: this choice needs more memory than there is; choose fewer columns or sweeps"),
        _ => (ExitCode.Unreadable,
            $"unexpected {exception.GetType().Name}: {exception.Message} (this is a defect; run again with --verbose and report what it prints)"),
    };

    /// <summary>A message as one line without control characters, which a file name or a damaged file may bring along.</summary>
    internal static string LineOf(string text) => VisibleText.Flowing(text, LongestLine);
}
