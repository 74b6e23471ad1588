using Acquire.Capture;
using Acquire.Columns;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Survey;
using Acquire.Recordings;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect;

/// <summary>The setup that a recording suggests, with every guess marked.</summary>
internal static class SetupGuess
{
    /// <summary>Completes a setup with what was inferred.</summary>
    /// <param name="facts">What was seen.</param>
    /// <param name="fromPerson">Whether a person's setup file says what the setup says; otherwise channels, bits and direction up are assumptions.</param>
    public static SetupDocument Of(InspectionFacts facts, bool fromPerson)
    {
        Setup setup = facts.Setup;
        List<string> guessed = [];
        if (!fromPerson) guessed.AddRange(["scan.roles", "scan.bits"]);

        if (RolesOf(facts) is { } roles)
        {
            setup = setup with { Scan = setup.Scan with { Roles = roles } };
            Mark("scan.roles");
        }

        // Volts are given at the full code: with other bits they would mean something else.
        bool volts = setup.RampVolts is not null || setup.Verticals.Any(v => v.Volts is not null);
        if (!fromPerson && !volts && facts.UsedFullCode < setup.Scan.FullCode)
            setup = setup with { Scan = setup.Scan with { Bits = 32 - int.LeadingZeroCount(facts.UsedFullCode) } };

        // Edges and direction were learnt on the channel that was the ramp; on another one they mean nothing.
        if (facts.Sweeps.Complete > 0 && facts.Ramp.Present && setup.Scan.RampChannel == facts.Setup.Scan.RampChannel) Sweep();

        if (!fromPerson)
        {
            for (int v = 0; v < setup.Verticals.Count; v++) Mark($"verticals[{v}].up");
        }

        return new SetupDocument(setup, guessed);

        void Sweep()
        {
            if (setup.Sweep.Direction == RampDirection.Auto && facts.Ramp.Direction != RampDirection.Auto)
            {
                setup = setup with { Sweep = setup.Sweep with { Direction = facts.Ramp.Direction } };
                Mark("sweep.direction");
            }

            if (setup.Sweep.Edges is null && facts.Axis is { Learnt: true, Provisional: false })
            {
                setup = setup with { Sweep = setup.Sweep with { Edges = EdgesOf(facts.Axis, setup, facts.Setup.Scan.FullCode) } };
                Mark("sweep.edges");
            }

            if (setup.Settings.SweepTimeSeconds is null && setup.Scan.ScanRateHz is { } rate)
            {
                long[] times = [.. facts.Sweeps.First.Where(s => s.Info.Complete).Select(s => s.DurationScans).Order()];
                setup = setup with { Settings = setup.Settings with { SweepTimeSeconds = times[times.Length / 2] / rate } };
                Mark("settings.sweepTimeSeconds");
            }
        }

        void Mark(string path)
        {
            if (!guessed.Contains(path)) guessed.Add(path);
        }
    }

    private static ChannelRole[]? RolesOf(InspectionFacts facts)
    {
        IReadOnlyList<ChannelRole> now = facts.Setup.Scan.Roles;
        ChannelRole[] roles = [.. now];
        int ramp = facts.Setup.Scan.RampChannel;
        ChannelReport? better = facts.RampChannel.LikelyRole == ChannelRole.Ramp
            ? null : facts.Channels.FirstOrDefault(c => c.LikelyRole == ChannelRole.Ramp);
        if (better is not null) (roles[ramp], roles[better.Channel]) = (roles[better.Channel], ChannelRole.Ramp);

        ChannelReport? blanking = facts.Channels.FirstOrDefault(c => c.LikelyRole == ChannelRole.Blanking && roles[c.Channel] == ChannelRole.Auxiliary);
        if (blanking is not null && !roles.Contains(ChannelRole.Blanking)) roles[blanking.Channel] = ChannelRole.Blanking;
        if (!roles.Contains(ChannelRole.Vertical)) roles[ramp] = ChannelRole.Vertical;
        return roles.SequenceEqual(now) ? null : roles;
    }

    // To a tenth of a code.
    private static SweepEdges EdgesOf(ColumnAxis axis, Setup setup, int fullCode)
    {
        if (setup.RampVolts is not { } volts) return new SweepEdges(Math.Round((decimal)axis.LowCode, 1), Math.Round((decimal)axis.HighCode, 1));
        int digits = Digits(volts, fullCode);
        decimal a = Math.Round((decimal)volts.VoltsOf(axis.LowCode, fullCode), digits), b = Math.Round((decimal)volts.VoltsOf(axis.HighCode, fullCode), digits);
        return new SweepEdges(Math.Min(a, b), Math.Max(a, b));
    }

    private static int Digits(CodeVolts volts, int fullCode) =>
        Math.Clamp(1 - (int)Math.Floor(Math.Log10((double)Math.Abs(volts.AtFullCode - volts.AtCodeZero) / fullCode)), 0, 15);
}
