using Acquire.Harness.Inspect.Spectra;

namespace Acquire.Harness.Inspect;

/// <summary>What a closer look at some complete sweeps shows.</summary>
internal sealed record CloseLook
{
    /// <summary>Most sweeps looked at.</summary>
    public const int MostSweeps = 64;

    /// <summary>Most scans from the first sweep's start to the last one's end, so that a long recording is not walked three times.</summary>
    public const long MostScans = 1 << 24;

    /// <summary>Amplitude from which a line on the ramp is no work of the converter's steps, in codes: these make one of 1/pi.</summary>
    public const double LeastRampLineCodes = 0.5;

    /// <summary>Sweeps looked at.</summary>
    public required int Sweeps { get; init; }

    /// <summary>First scan looked at.</summary>
    public required long StartScan { get; init; }

    /// <summary>One past the last scan looked at.</summary>
    public required long EndScan { get; init; }

    /// <summary>Median distance of sweeps that follow one another, of the same direction where the ramp draws both ways, in scans; NaN where fewer than two such distances are known.</summary>
    public required double PeriodScans { get; init; }

    /// <summary>Largest deviation of these distances from the median, in scans.</summary>
    public required double PeriodSpreadScans { get; init; }

    /// <summary>Slope of the ramp at the start of the sweeps, in codes per scan; NaN where they are too short.</summary>
    public required double StartSlope { get; init; }

    /// <summary>Slope of the ramp at the end of the sweeps, in codes per scan; NaN where they are too short.</summary>
    public required double EndSlope { get; init; }

    /// <summary>Scans of a sweep to which the course was fitted.</summary>
    public required long FittedScans { get; init; }

    /// <summary>Root of the mean square of what the fitted course leaves, in codes, median over the sweeps, without the scan-to-scan noise.</summary>
    public required double CourseErrorCodes { get; init; }

    /// <summary>Drift of the ramp at rest, in codes per scan; NaN where there is no rest.</summary>
    public required double RestSlope { get; init; }

    /// <summary>Standard deviation of <see cref="RestSlope"/> that noise alone gives.</summary>
    public required double RestSlopeNoise { get; init; }

    /// <summary>Mean code of the ramp at rest; NaN where there is no rest.</summary>
    public required double RestLevel { get; init; }

    /// <summary>Lines on the ramp around its course, strongest first.</summary>
    public required IReadOnlyList<SpectralLine> RampLines { get; init; }

    /// <summary>Single scans off the ramp's course.</summary>
    public required long Spikes { get; init; }

    /// <summary>Index of the first; -1 where there is none.</summary>
    public required long FirstSpike { get; init; }

    /// <summary>Each vertical, in channel order.</summary>
    public required IReadOnlyList<VerticalCloseLook> Verticals { get; init; }

    /// <summary>Looks, or returns null where there is no complete sweep.</summary>
    /// <param name="walk">The stream.</param>
    /// <param name="setup">Setup.</param>
    /// <param name="kept">The first sweeps of the first walk.</param>
    /// <param name="ramp">What the engine says of the ramp.</param>
    /// <param name="rampNoiseCodes">Standard deviation of the ramp's scan-to-scan noise.</param>
    /// <param name="cancel">Stops the walk.</param>
    public static CloseLook? At(
        IScanWalk walk, Setup setup, IReadOnlyList<SweepRow> kept, RampReport ramp, double rampNoiseCodes, CancellationToken cancel)
    {
        List<SweepRow> sweeps = [];
        foreach (SweepRow row in kept)
        {
            if (!row.Info.Complete) continue;
            if (sweeps.Count == MostSweeps || (sweeps.Count > 0 && row.Info.EndPosition - sweeps[0].Info.StartPosition > MostScans)) break;
            sweeps.Add(row);
        }

        if (sweeps.Count == 0) return null;
        CourseLook course = new(sweeps, setup, double.IsNaN(rampNoiseCodes) ? 0 : rampNoiseCodes, ramp.HighCode - ramp.LowCode);
        walk.Walk(course, cancel);
        ResidualLook residual = new(sweeps, course.Profiles, setup.Scan.ChannelCount, ramp.LowCode, ramp.HighCode);
        IReadOnlyList<SpectralLine> rampLines = course.RampLines();
        SweepCourses? courses = sweeps.Count >= ResidualLook.LeastSweeps && rampLines.Any(line => line.Amplitude >= LeastRampLineCodes) ? new SweepCourses(sweeps, setup, rampLines) : null;
        walk.Walk(courses is null ? [residual] : [residual, courses], cancel);
        (VerticalProfile Profile, IReadOnlyList<SpectralLine> Lines)[] left = Left(walk, setup, sweeps, residual, course.Profiles, courses, cancel);
        SweepPeriods periods = new(sweeps, course.Passes.Positions());
        WaveSearch waves = new(walk, sweeps, setup.Scan.ChannelCount, periods);
        return new CloseLook
        {
            Sweeps = sweeps.Count,
            StartScan = sweeps[0].Info.StartScan,
            EndScan = sweeps[^1].Info.EndScan,
            PeriodScans = periods.MedianScans,
            PeriodSpreadScans = periods.SpreadScans,
            StartSlope = course.StartSlope,
            EndSlope = course.EndSlope,
            FittedScans = course.FittedScans,
            CourseErrorCodes = course.CourseErrorCodes,
            RestSlope = course.Rest.Slope,
            RestSlopeNoise = course.Rest.SlopeNoise(rampNoiseCodes),
            RestLevel = course.Rest.Level,
            RampLines = rampLines,
            Spikes = course.Spikes.Count,
            FirstSpike = course.Spikes.FirstScan,
            Verticals = [.. course.Profiles.Select((profile, v) => new VerticalCloseLook
            {
                Channel = profile.Channel,
                LinesWithinSweeps = course.VerticalLines(v),
                LinesAcrossSweeps = waves.Of(left[v].Profile, left[v].Lines, cancel),
                Retrace = residual.Retrace(v),
                InRamp = course.CrosstalkOf(v),
            })],
        };
    }

    // What is left of each vertical: without its mean by the ramp's codes, or by its course where that leaves less. By the codes, a wave on the ramp moves the picture to and fro; by the
    // course, it does so where the wave is real and moves the beam.
    private static (VerticalProfile Profile, IReadOnlyList<SpectralLine> Lines)[] Left(
        IScanWalk walk, Setup setup, List<SweepRow> sweeps, ResidualLook residual, IReadOnlyList<VerticalProfile> profiles, SweepCourses? courses, CancellationToken cancel)
    {
        (VerticalProfile Profile, IReadOnlyList<SpectralLine> Lines)[] left = [.. profiles.Select((profile, v) => (profile, residual.Lines(v)))];
        if (courses is null) return left;
        // The spectra's memory is free by now: the second look takes its place instead of coming on top of it.
        GC.Collect(GC.MaxGeneration, GCCollectionMode.Aggressive);
        VerticalProfile[] byCourse = [.. profiles.Select(p => new VerticalProfile(p.Channel, p.RampChannel, p.FullCode, courses.Found))];
        walk.Walk(new ProfileLook(sweeps, byCourse, setup.Scan.ChannelCount), cancel);
        ResidualLook other = new(sweeps, byCourse, setup.Scan.ChannelCount, 0, 0);
        walk.Walk(other, cancel);
        for (int v = 0; v < left.Length; v++)
            if (other.SquaresLeft(v) < residual.SquaresLeft(v)) left[v] = (byCourse[v], other.Lines(v));
        return left;
    }
}
