using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Tests.Doubles;

public class SceneChecksTests
{
    private static readonly Colour s_ink = new(0, 0, 0);

    [Fact]
    public void Faults_TextsApart_None() => Assert.Empty(SceneChecks.Faults(Scene((10, 40), (10, 80))));

    [Fact]
    public void Faults_TextsOverEachOther_OneNamed() => Assert.Contains("overlaps", Assert.Single(SceneChecks.Faults(Scene((10, 40), (14, 44)))), StringComparison.Ordinal);

    [Fact]
    public void Faults_TextOverTheEdge_OneNamed() => Assert.Contains("leaves", Assert.Single(SceneChecks.Faults(Scene((190, 40)))), StringComparison.Ordinal);

    private static Scene Scene(params (double X, double Y)[] places) =>
        new(200, 100, null, "t", "d", s_ink, [.. places.Select(p => Letterer.Lay("Word", 20).At(p.X, p.Y, s_ink))]);
}
